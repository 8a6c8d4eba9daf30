//! The journal: every accepted change, appended before it is acknowledged.
//!
//! Enters: a record, or journal bytes. Leaves: bytes, or records and what was set aside.
//! Always true: a record is `FPJ`, a version byte, the length and the CRC-32 of its payload (both
//! little-endian, 32 bits), and the payload, JSON in UTF-8. A damaged record ends the reading: what
//! follows is set aside and counted, never guessed at.
//! Never: panics on any bytes.

use super::record::Record;

const MARK: [u8; 3] = *b"FPJ";
/// The version of records written.
pub const VERSION: u8 = 1;
const HEAD: usize = 12;

/// The bytes of a record.
pub fn encode(record: &Record) -> Vec<u8> {
    // Structs of strings, numbers and lists; JSON has a form for every one of them.
    let payload = serde_json::to_vec(record).expect("a record is made of what JSON can say");
    let mut bytes = Vec::with_capacity(HEAD + payload.len());
    bytes.extend_from_slice(&MARK);
    bytes.push(VERSION);
    let length = u32::try_from(payload.len()).expect("a record is shorter than 4 GiB");
    bytes.extend_from_slice(&length.to_le_bytes());
    bytes.extend_from_slice(&crc32fast::hash(&payload).to_le_bytes());
    bytes.extend_from_slice(&payload);
    bytes
}

/// What was read of journal bytes.
#[derive(Default)]
pub struct Read {
    /// Records, in order. `None`: whole and undamaged, but of a later version or not understood.
    pub records: Vec<Option<Record>>,
    /// Bytes at the end that could not be read.
    pub n_damaged_bytes: usize,
}

/// Reads concatenated records up to the first damaged one.
pub fn decode(bytes: &[u8]) -> Read {
    let mut read = Read::default();
    let mut rest = bytes;
    while !rest.is_empty() {
        let Some((version, payload, after)) = split_record(rest) else {
            read.n_damaged_bytes = rest.len();
            break;
        };
        read.records.push(match version {
            VERSION => serde_json::from_slice(payload).ok(),
            _ => None,
        });
        rest = after;
    }
    read
}

/// Version and payload of the first record, and what follows; `None` when it is damaged.
fn split_record(bytes: &[u8]) -> Option<(u8, &[u8], &[u8])> {
    let (head, rest) = bytes.split_at_checked(HEAD)?;
    let number = |at: usize| -> Option<u32> {
        Some(u32::from_le_bytes(head.get(at..at + 4)?.try_into().ok()?))
    };
    if head[..3] != MARK {
        return None;
    }
    let (payload, after) = rest.split_at_checked(number(4)? as usize)?;
    (crc32fast::hash(payload) == number(8)?).then_some((head[3], payload, after))
}
