//! The rows of a damaged SQLite file, page by page: what can be read is, whatever became of the pages that lead to it.
//!
//! The layout is that of the public description of the file format, <https://sqlite.org/fileformat2.html>: section 1.6
//! for pages, 2.1 for records, 4.1 for the write-ahead log. Nothing is believed: a length that runs over its page makes
//! the row unreadable and no more. Whoever takes the rows has to know them for what they are, by their digests.

use std::fs::File;
use std::io::{self, BufReader, Read, Seek, SeekFrom};
use std::path::Path;

use rusqlite::types::Value;

/// The size of page that SQLite makes files with.
const USUAL: usize = 4096;
const TABLE_LEAF: u8 = 0x0d;
const INDEX_LEAF: u8 = 0x0a;
/// The file's own header stands before the first page's.
const FILE_HEADER: usize = 100;
const LOG_HEADER: usize = 32;
const FRAME_HEADER: usize = 24;

/// What stands in a cell of a leaf page.
#[derive(Debug)]
pub(super) enum Cell {
    /// A row of a table, with its key.
    Row(i64, Vec<Value>),
    /// An entry of an index; the key of its row is the last value.
    Key(Vec<Value>),
}

/// Hands over every cell that can be read of a file and of the write-ahead log beside it. A row may come more than
/// once, and from a table that is no longer there.
pub(super) fn for_each_cell(path: &Path, mut each: impl FnMut(Cell)) -> io::Result<()> {
    let mut file = BufReader::new(File::open(path)?);
    let mut header = [0; FILE_HEADER];
    let read = fill(&mut file, &mut header)?;
    let size = page_size(&header[..read]);
    file.rewind()?;
    let mut page = vec![0; size];
    let mut at = FILE_HEADER;
    while fill(&mut file, &mut page)? > 0 {
        cells(&page, at, &mut each);
        at = 0;
    }
    let mut name = path.as_os_str().to_owned();
    name.push("-wal");
    match File::open(Path::new(&name)) {
        Ok(log) => logged(BufReader::new(log), size, &mut each),
        Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(()),
        Err(error) => Err(error),
    }
}

/// The pages of a write-ahead log that belong to its present run and were committed.
fn logged(mut log: impl Read + Seek, size: usize, each: &mut impl FnMut(Cell)) -> io::Result<()> {
    let mut header = [0; LOG_HEADER];
    if fill(&mut log, &mut header)? < LOG_HEADER {
        return Ok(());
    }
    let mut frame = vec![0; FRAME_HEADER + size];
    let (mut frames, mut committed) = (0, 0);
    while fill(&mut log, &mut frame)? > 0 {
        frames += 1;
        // The size of the file after a commit; zero in the frames before it.
        if frame[8..16] == header[16..24] && frame[4..8] != [0; 4] {
            committed = frames;
        }
    }
    log.seek(SeekFrom::Start(LOG_HEADER as u64))?;
    for _ in 0..committed {
        if fill(&mut log, &mut frame)? == 0 {
            break;
        }
        if frame[8..16] == header[16..24] {
            let is_first = frame[..4] == [0, 0, 0, 1];
            cells(&frame[FRAME_HEADER..], if is_first { FILE_HEADER } else { 0 }, each);
        }
    }
    Ok(())
}

/// Reads until the buffer is full or the file at its end; what is missing is zero.
fn fill(from: &mut impl Read, buffer: &mut [u8]) -> io::Result<usize> {
    let mut read = 0;
    while read < buffer.len() {
        match from.read(&mut buffer[read..])? {
            0 => break,
            more => read += more,
        }
    }
    buffer[read..].fill(0);
    Ok(read)
}

fn page_size(header: &[u8]) -> usize {
    let Some(&[high, low]) = header.get(16..18) else { return USUAL };
    match u16::from_be_bytes([high, low]) {
        1 => 65_536,
        size if size >= 512 && size.is_power_of_two() => size.into(),
        _ => USUAL,
    }
}

/// The cells of one page whose header stands at `at`.
fn cells(page: &[u8], at: usize, each: &mut impl FnMut(Cell)) {
    let kind = page[at];
    if kind != TABLE_LEAF && kind != INDEX_LEAF {
        return;
    }
    let count = usize::from(u16::from_be_bytes([page[at + 3], page[at + 4]]));
    for pointer in page[at + 8..].chunks_exact(2).take(count) {
        let start = usize::from(u16::from_be_bytes([pointer[0], pointer[1]]));
        let cell = page.get(start..).and_then(|rest| cell(kind, &mut Bytes(rest)));
        cell.into_iter().for_each(&mut *each);
    }
}

fn cell(kind: u8, bytes: &mut Bytes<'_>) -> Option<Cell> {
    // No row of a journal is longer than a page: one that is belongs to something else.
    let length = usize::try_from(bytes.varint()?).ok()?;
    if kind == TABLE_LEAF {
        let key = bytes.varint()?;
        return record(bytes.take(length)?).map(|values| Cell::Row(key, values));
    }
    record(bytes.take(length)?).map(Cell::Key)
}

fn record(bytes: &[u8]) -> Option<Vec<Value>> {
    let header_length = usize::try_from(Bytes(bytes).varint()?).ok()?;
    let mut header = Bytes(bytes.get(..header_length)?);
    header.varint()?;
    let mut body = Bytes(bytes.get(header_length..)?);
    let mut values = Vec::new();
    while !header.0.is_empty() {
        let serial = header.varint()?;
        values.push(match serial {
            0 => Value::Null,
            1..=4 => Value::Integer(body.integer(usize::try_from(serial).ok()?)?),
            5 => Value::Integer(body.integer(6)?),
            6 => Value::Integer(body.integer(8)?),
            7 => Value::Real(f64::from_bits(body.integer(8)?.cast_unsigned())),
            8 | 9 => Value::Integer(serial - 8),
            12.. => {
                let content = body.take(usize::try_from((serial - 12) / 2).ok()?)?.to_vec();
                if serial % 2 == 0 { Value::Blob(content) } else { Value::Text(String::from_utf8(content).ok()?) }
            }
            _ => return None,
        });
    }
    Some(values)
}

/// Bytes read from left to right.
struct Bytes<'a>(&'a [u8]);

impl<'a> Bytes<'a> {
    fn take(&mut self, length: usize) -> Option<&'a [u8]> {
        let (taken, rest) = self.0.split_at_checked(length)?;
        self.0 = rest;
        Some(taken)
    }

    /// Seven bits a byte, the greatest first; a ninth byte gives all its eight.
    fn varint(&mut self) -> Option<i64> {
        let mut value: u64 = 0;
        for index in 0..9 {
            let byte = self.take(1)?[0];
            if index == 8 {
                return Some((value << 8 | u64::from(byte)).cast_signed());
            }
            value = value << 7 | u64::from(byte & 0x7f);
            if byte < 0x80 {
                break;
            }
        }
        Some(value.cast_signed())
    }

    /// A whole number of so many bytes, the greatest first, in two's complement.
    fn integer(&mut self, length: usize) -> Option<i64> {
        let bytes = self.take(length)?;
        let sign = if bytes[0] & 0x80 == 0 { 0 } else { -1 };
        Some(bytes.iter().fold(sign, |value, byte| value << 8 | i64::from(*byte)))
    }
}

#[cfg(test)]
mod tests {
    use rusqlite::Connection;

    use super::*;

    /// SQLite itself is the measure: what it wrote is read back the same, out of its file and its write-ahead log.
    #[test]
    fn every_row_that_sqlite_wrote_is_read() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("any.db");
        let connection = Connection::open(&path).unwrap();
        connection
            .execute_batch(
                "PRAGMA journal_mode = WAL; CREATE TABLE t (a INTEGER PRIMARY KEY, b, c, d); CREATE INDEX i ON t (b);",
            )
            .unwrap();
        let insert = "WITH RECURSIVE n (x) AS (SELECT ?1 UNION ALL SELECT x + 1 FROM n WHERE x < ?2) \
                      INSERT INTO t SELECT x * x * x * x * x, CASE x % 5 WHEN 0 THEN NULL WHEN 1 THEN -(x << (x % 60)) \
                      WHEN 2 THEN x / 7.0 WHEN 3 THEN printf('%.*c', x % 300, 'ü') ELSE randomblob(x % 40) END, \
                      x % 2, -x FROM n";
        connection.execute(insert, [-500, 700]).unwrap();
        connection.execute_batch("PRAGMA wal_checkpoint(TRUNCATE);").unwrap();
        connection.execute(insert, [701, 900]).unwrap();
        let mut wanted = connection.prepare("SELECT a, b, c, d FROM t").unwrap();
        let mut wanted: Vec<Vec<Value>> = wanted
            .query_map([], |row| (0..4).map(|column| row.get(column)).collect())
            .unwrap()
            .collect::<Result<_, _>>()
            .unwrap();
        let (mut found, mut keys) = (Vec::new(), 0);
        for_each_cell(&path, |cell| match cell {
            Cell::Row(key, mut values) if values.len() == 4 => {
                values[0] = Value::Integer(key);
                found.push(values);
            }
            Cell::Row(..) => {}
            Cell::Key(_) => keys += 1,
        })
        .unwrap();
        let text = |rows: &mut Vec<Vec<Value>>| {
            let mut text: Vec<String> = rows.iter().map(|row| format!("{row:?}")).collect();
            text.sort();
            text.dedup();
            text
        };
        assert_eq!(wanted.len(), 1401);
        assert_eq!(text(&mut found), text(&mut wanted));
        assert!(keys > 1300, "{keys}");
    }

    #[test]
    fn nothing_makes_it_stumble() {
        let mut page = vec![0xff; USUAL];
        for kind in [TABLE_LEAF, INDEX_LEAF, 0, 5] {
            page[0] = kind;
            cells(&page, 0, &mut |_| {});
        }
        for length in 0..40 {
            for byte in [0, 1, 0x0d, 0x7f, 0x80, 0xff] {
                let bytes = vec![byte; length];
                let _ = record(&bytes);
                let _ = cell(TABLE_LEAF, &mut Bytes(&bytes));
            }
        }
    }
}
