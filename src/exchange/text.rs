//! The text of a file that another program wrote, in whatever encoding.

/// Reads UTF-8; UTF-16 with a byte order mark, as spreadsheets write "Unicode text"; else one byte a character, as Windows
/// writes Western European text: its letters and the degree sign are those of ISO 8859-1, of its own signs from 0x80 to 0x9F the
/// two dashes, which stand for a missing figure, are read; the others become U+FFFD. `None` when it is no text.
#[must_use]
pub fn decoded(bytes: Vec<u8>) -> Option<String> {
    match bytes[..] {
        [0xff, 0xfe, ref rest @ ..] => utf_16(rest, u16::from_le_bytes),
        [0xfe, 0xff, ref rest @ ..] => utf_16(rest, u16::from_be_bytes),
        _ => String::from_utf8(bytes).or_else(|error| latin(error.as_bytes()).ok_or(())).ok(),
    }
}

fn utf_16(bytes: &[u8], unit: fn([u8; 2]) -> u16) -> Option<String> {
    let (pairs, rest) = bytes.as_chunks::<2>();
    let units: Vec<u16> = pairs.iter().copied().map(unit).collect();
    String::from_utf16(&units).ok().filter(|_| rest.is_empty())
}

fn latin(bytes: &[u8]) -> Option<String> {
    let letter = |byte: &u8| match byte {
        b'\t' | b'\r' | b'\n' | 0x20..=0x7e | 0xa0.. => Some(char::from(*byte)),
        0x96 => Some('\u{2013}'),
        0x97 => Some('\u{2014}'),
        0x80..=0x9f => Some(char::REPLACEMENT_CHARACTER),
        _ => None,
    };
    bytes.iter().map(letter).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    const TEXT: &str = "Datum;H\u{f6}chstwert (\u{b0}C)\r\n03.05.2026;16\r\n";

    #[test]
    fn text_is_read_in_the_encodings_that_loggers_write() {
        let utf_16 = |bytes: fn(u16) -> [u8; 2]| -> Vec<u8> {
            "\u{feff}".encode_utf16().chain(TEXT.encode_utf16()).flat_map(bytes).collect()
        };
        let latin: Vec<u8> = TEXT.chars().map(|c| u8::try_from(u32::from(c)).unwrap()).collect();
        for bytes in [TEXT.as_bytes().to_vec(), utf_16(u16::to_le_bytes), utf_16(u16::to_be_bytes), latin] {
            assert_eq!(decoded(bytes).as_deref(), Some(TEXT));
        }
    }

    #[test]
    fn what_is_no_text_is_none() {
        for junk in [&b"\x89PNG\xff\xfe\0\x01"[..], b"\xff\xfe1", b"\xff\xfe\x00\xd8\x31\x00", b"\xe9\x1b[2J"] {
            assert_eq!(decoded(junk.to_vec()), None, "{junk:?}");
        }
        assert_eq!(decoded(b"\xe9 \x85".to_vec()).as_deref(), Some("\u{e9} \u{fffd}"));
        assert_eq!(decoded(b"\xe9;\x96;\x97".to_vec()).as_deref(), Some("\u{e9};\u{2013};\u{2014}"));
    }
}
