//! Letters of a file, whatever encoding they stand in.
//!
//! Enters: the bytes of a file in chunks, and the bytes of a cell. Leaves: UTF-8 for UTF-16 files, and the text of
//! a cell with the encoding it was read in.
//! Always true: how a file is cut into chunks never matters; a cell that is UTF-8 is read as UTF-8, whatever its
//! neighbours are.
//! Never: loses a byte without saying so.

use std::borrow::Cow;

use super::plan::Rules;

/// How the letters of a cell were read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Letters {
    /// UTF-8; plain ASCII is that too.
    Utf8,
    /// No UTF-8, every byte a sign of Windows-1252.
    Windows1252,
    /// Neither: the sign for a lost letter stands in the place of bytes.
    Lost,
}

/// The signs of bytes 0x80 to 0x9F; bytes from 0xA0 on are the code points of the same number. `'\0'` where the
/// code page has no sign (the standard maps those to control codes, which no table of animals holds).
///
/// Source: WHATWG, Encoding Standard, index-windows-1252; held against `encoding_rs` in the tests. That library
/// is not used here, since its decoder carries the tables of every other encoding into the page.
const FROM_80: [char; 32] = [
    '€', '\0', '‚', 'ƒ', '„', '…', '†', '‡', 'ˆ', '‰', 'Š', '‹', 'Œ', '\0', 'Ž', '\0', '\0', '‘',
    '’', '“', '”', '•', '–', '—', '˜', '™', 'š', '›', 'œ', '\0', 'ž', 'Ÿ',
];

/// The text of a cell.
pub fn read(bytes: &[u8]) -> (Cow<'_, str>, Letters) {
    if let Ok(text) = std::str::from_utf8(bytes) {
        return (Cow::Borrowed(text), Letters::Utf8);
    }
    let mut text = String::with_capacity(bytes.len() + 8);
    for &byte in bytes {
        let sign = match byte {
            0x80..=0x9F => FROM_80[usize::from(byte - 0x80)],
            other => char::from(other),
        };
        if sign == '\0' {
            return (String::from_utf8_lossy(bytes), Letters::Lost);
        }
        text.push(sign);
    }
    (Cow::Owned(text), Letters::Windows1252)
}

/// The text of a cell by the rules of a plan.
pub fn read_by(rules: Rules, bytes: &[u8]) -> (Cow<'_, str>, Letters) {
    if rules >= Rules::Second {
        return read(bytes);
    }
    match String::from_utf8_lossy(bytes) {
        Cow::Borrowed(text) => (Cow::Borrowed(text), Letters::Utf8),
        Cow::Owned(text) => (Cow::Owned(text), Letters::Lost),
    }
}

/// The encoding of a whole file, by the mark at its start.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Stream {
    /// The mark has not been seen whole.
    Start,
    /// Bytes as they are: UTF-8, or cells of Windows-1252.
    Bytes,
    /// UTF-16, low byte first when true.
    Utf16 { low_first: bool },
}

/// The mark some programs put before UTF-8 text.
const UTF8_MARK: &[u8] = b"\xef\xbb\xbf";

/// Takes the mark off a file and turns UTF-16 into UTF-8, chunk by chunk.
#[derive(Debug)]
pub struct Unwrapped {
    stream: Stream,
    /// Bytes held back: of the mark, or half a unit of UTF-16.
    held: Vec<u8>,
    /// First half of a pair of units.
    high: Option<u16>,
    /// Units of UTF-16 that are no letter.
    pub n_lost: u32,
}

impl Default for Unwrapped {
    fn default() -> Unwrapped {
        Unwrapped {
            stream: Stream::Start,
            held: Vec::new(),
            high: None,
            n_lost: 0,
        }
    }
}

impl Unwrapped {
    /// True when the file is UTF-16.
    pub fn is_utf16(&self) -> bool {
        matches!(self.stream, Stream::Utf16 { .. })
    }

    /// The next bytes without the mark, as UTF-8 where the file is UTF-16.
    pub fn push<'a>(&mut self, chunk: &'a [u8]) -> Cow<'a, [u8]> {
        match self.stream {
            Stream::Bytes => Cow::Borrowed(chunk),
            Stream::Utf16 { low_first } => Cow::Owned(self.units(chunk, low_first)),
            Stream::Start => {
                let mut start = std::mem::take(&mut self.held);
                start.extend_from_slice(chunk);
                self.stream = match start.as_slice() {
                    [0xFF, 0xFE, ..] => Stream::Utf16 { low_first: true },
                    [0xFE, 0xFF, ..] => Stream::Utf16 { low_first: false },
                    start if UTF8_MARK.starts_with(start) && start.len() < UTF8_MARK.len() => {
                        Stream::Start
                    }
                    [0xFF] | [0xFE] => Stream::Start,
                    _ => Stream::Bytes,
                };
                match self.stream {
                    Stream::Start => {
                        self.held = start;
                        Cow::Borrowed(&[])
                    }
                    Stream::Utf16 { low_first } => Cow::Owned(self.units(&start[2..], low_first)),
                    Stream::Bytes => {
                        if start.starts_with(UTF8_MARK) {
                            start.drain(..UTF8_MARK.len());
                        }
                        Cow::Owned(start)
                    }
                }
            }
        }
    }

    /// What was held back at the end of the file.
    pub fn finish(&mut self) -> Vec<u8> {
        let held = std::mem::take(&mut self.held);
        if !self.is_utf16() {
            return held;
        }
        if self.high.take().is_none() && held.is_empty() {
            return Vec::new();
        }
        self.n_lost += 1;
        "\u{fffd}".to_owned().into_bytes()
    }

    fn units(&mut self, chunk: &[u8], low_first: bool) -> Vec<u8> {
        let mut bytes = std::mem::take(&mut self.held);
        bytes.extend_from_slice(chunk);
        let pairs = bytes.chunks_exact(2);
        self.held = pairs.remainder().to_vec();
        let units = pairs.map(|pair| {
            let pair = [pair[0], pair[1]];
            if low_first {
                u16::from_le_bytes(pair)
            } else {
                u16::from_be_bytes(pair)
            }
        });
        let mut text = String::with_capacity(bytes.len());
        let mut units: Vec<u16> = self.high.take().into_iter().chain(units).collect();
        // The second half of a pair may stand in the next chunk.
        if units
            .last()
            .is_some_and(|last| (0xD800..0xDC00).contains(last))
        {
            self.high = units.pop();
        }
        for letter in char::decode_utf16(units) {
            text.push(letter.unwrap_or_else(|_| {
                self.n_lost += 1;
                char::REPLACEMENT_CHARACTER
            }));
        }
        text.into_bytes()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn every_byte_reads_as_in_encoding_rs() {
        for byte in 0x80..=0xFF_u8 {
            let bytes = [b'a', byte, b'b'];
            let (expected, _) = encoding_rs::WINDOWS_1252.decode_without_bom_handling(&bytes);
            let (text, letters) = read(&bytes);
            if expected.chars().any(char::is_control) {
                assert_eq!(letters, Letters::Lost, "{byte:x}");
            } else {
                assert_eq!((text, letters), (expected, Letters::Windows1252));
            }
        }
    }

    fn unwrapped(chunks: &[&[u8]]) -> (Vec<u8>, u32) {
        let mut unwrapping = Unwrapped::default();
        let mut bytes = Vec::new();
        for chunk in chunks {
            bytes.extend_from_slice(&unwrapping.push(chunk));
        }
        bytes.extend(unwrapping.finish());
        (bytes, unwrapping.n_lost)
    }

    proptest! {
        #[test]
        fn files_with_a_mark_read_as_in_encoding_rs_however_they_are_cut(
            bytes in prop::collection::vec(prop_oneof![Just(0xD8_u8), Just(0xDC), Just(0), any::<u8>()], 0..60),
            mark in prop::sample::select(vec![&b"\xff\xfe"[..], b"\xfe\xff", b"\xef\xbb\xbf", b""]),
            cuts in prop::collection::vec(0_usize..64, 0..5),
        ) {
            let whole = [mark, &bytes].concat();
            let mut cuts: Vec<usize> = cuts.into_iter().map(|cut| cut.min(whole.len())).collect();
            cuts.extend([0, whole.len()]);
            cuts.sort_unstable();
            let chunks: Vec<&[u8]> = cuts.windows(2).map(|pair| &whole[pair[0]..pair[1]]).collect();
            let (read, n_lost) = unwrapped(&chunks);
            match encoding_rs::Encoding::for_bom(&whole) {
                Some((encoding, _)) if encoding != encoding_rs::UTF_8 => {
                    let (text, _, lost) = encoding.decode(&whole);
                    prop_assert_eq!(String::from_utf8(read).expect("UTF-8"), text.into_owned());
                    prop_assert_eq!(n_lost > 0, lost);
                }
                Some((_, n_mark)) => prop_assert_eq!(&read[..], &whole[n_mark..]),
                None => prop_assert_eq!(&read, &whole),
            }
        }
    }
}
