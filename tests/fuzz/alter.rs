//! Altering inputs: bits, bytes, numbers, words of other inputs, pieces moved and joined.

/// Numbers at the edges of what is counted.
const NUMBERS: [&str; 16] = [
    "0",
    "-1",
    "1",
    "100000",
    "100001",
    "4294967295",
    "4294967296",
    "-2147483648",
    "9223372036854775807",
    "18446744073709551616",
    "1e308",
    "-1e-308",
    "nan",
    "inf",
    "0.1",
    "99999999999999999999999999",
];

/// Texts that are seldom thought of.
const ODD: [&str; 20] = [
    "\u{0}",
    "\u{1b}[2J",
    "\u{202e}",
    "\u{feff}",
    "é",
    "e\u{301}",
    "\u{1f331}",
    "\u{fffd}",
    "'",
    "\"",
    "\\",
    "\r\n",
    "\n",
    "\t",
    "2026-02-29",
    "9999-12-31",
    "-9999-01-01",
    "29 feb",
    "--on",
    "=",
];

/// Signs that mean something to one parser or another.
const SIGNS: &[u8] = b" \n,;:{}[]\"'#=-+.0123456789aT/";

pub(crate) struct Altering {
    state: u64,
    words: Vec<Vec<u8>>,
}

/// The FNV-1a hash of an input, to name it by.
pub(crate) fn hash(input: &[u8]) -> u64 {
    input.iter().fold(0xcbf2_9ce4_8422_2325, |hash, byte| (hash ^ u64::from(*byte)).wrapping_mul(0x0100_0000_01b3))
}

impl Altering {
    pub(crate) fn new(seed: u64, corpus: &[Vec<u8>]) -> Self {
        let is_word = |byte: u8| byte.is_ascii_alphanumeric() || b"-_.".contains(&byte);
        let mut words: Vec<Vec<u8>> = corpus
            .iter()
            .flat_map(|input| input.split(|byte| !is_word(*byte)))
            .filter(|word| (1..40).contains(&word.len()))
            .map(<[u8]>::to_vec)
            .chain(NUMBERS.iter().chain(&ODD).map(|word| word.as_bytes().to_vec()))
            .collect();
        words.sort();
        words.dedup();
        Self { state: seed.wrapping_mul(0x9e37_79b9_7f4a_7c15) | 1, words }
    }

    /// xorshift64* (Vigna 2016).
    fn below(&mut self, end: usize) -> usize {
        self.state ^= self.state >> 12;
        self.state ^= self.state << 25;
        self.state ^= self.state >> 27;
        let mixed = self.state.wrapping_mul(0x2545_f491_4f6c_dd1d);
        (mixed >> 33) as usize % end.max(1)
    }

    fn word(&mut self) -> Vec<u8> {
        let at = self.below(self.words.len());
        self.words[at].clone()
    }

    /// One input of a corpus, altered a few times.
    pub(crate) fn one_of(&mut self, corpus: &[Vec<u8>], longest: usize) -> Vec<u8> {
        let mut input = corpus[self.below(corpus.len())].clone();
        let times = 1 << self.below(5);
        for _ in 0..times {
            self.alter(&mut input, corpus);
        }
        input.truncate(longest);
        input
    }

    fn piece(&mut self, of: &[u8]) -> std::ops::Range<usize> {
        let start = self.below(of.len() + 1);
        let length = 1 << self.below(8);
        start..(start + self.below(length + 1)).min(of.len())
    }

    fn alter(&mut self, input: &mut Vec<u8>, corpus: &[Vec<u8>]) {
        let at = self.below(input.len() + 1);
        match self.below(9) {
            0 if at < input.len() => input[at] ^= 1 << self.below(8),
            1 if at < input.len() => input[at] = self.below(256) as u8,
            2 => input.insert(at, SIGNS[self.below(SIGNS.len())]),
            3 => _ = input.drain(self.piece(&input.clone())),
            4 => {
                let piece = self.piece(&input.clone());
                let piece = input[piece].to_vec();
                input.splice(at..at, piece);
            }
            5 => {
                let other = &corpus[self.below(corpus.len())];
                let piece = self.piece(other);
                input.splice(at..at, other[piece].to_vec());
            }
            6 | 7 => {
                // A word for the word that stands there.
                let word = self.word();
                let is_end = |byte: &u8| !byte.is_ascii_alphanumeric();
                let end = input[at..].iter().position(is_end).map_or(input.len(), |end| at + end);
                let start = input[..at].iter().rposition(is_end).map_or(0, |start| start + 1);
                input.splice(start..end, word);
            }
            _ => {
                let word = self.word();
                input.splice(at..at, word);
            }
        }
    }
}
