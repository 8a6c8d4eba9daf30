//! XLS files that claim more cells than a sheet of that format can have, or whose parts go round in a circle.
//!
//! Enters: the bytes of a compound file. Leaves: whether a sheet claims too much, or a chain has no end.
//! Always true: nothing is set aside in memory for what a file claims; every chain is followed a bounded number of
//! steps.
//! Never: judges anything else; the reader of the cells does. It sets memory aside for the size that a sheet claims,
//! and a program that asks for more than there is stops at once, which nobody can catch.
//!
//! Sources: MS-CFB 2.2 to 2.6 (sectors, chains, directory), MS-XLS 2.4.28 (BoundSheet8), 2.4.90 (Dimensions).

/// Rows and columns of a sheet in this format (MS-XLS 2.2.1).
const MOST_CELLS: u64 = 65_536 * 256;
const BOUND_SHEET: u16 = 0x0085;
const DIMENSIONS: u16 = 0x0200;
const BEGIN: u16 = 0x0809;
const END: u16 = 0x000a;
/// Records that begin with the row and the column of a cell: formula, several numbers, text with runs, number,
/// text, truth or error, number in short, shared text (MS-XLS 2.3.1).
const CELLS: [u16; 8] = [
    0x0006,
    SEVERAL_NUMBERS,
    0x00d6,
    0x0203,
    0x0204,
    0x0205,
    0x027e,
    0x00fd,
];
/// Ends with the column of its last cell.
const SEVERAL_NUMBERS: u16 = 0x00bd;
/// Greater numbers of sectors are signs: free, end of chain.
const FIRST_SIGN: u32 = 0xffff_fffa;
/// Streams shorter than this stand in small sectors.
const SMALL_STREAM: u64 = 4096;

/// True when a sheet of the file claims more cells than a sheet can have.
pub fn claims_too_much(bytes: &[u8]) -> bool {
    let Some(file) = Compound::of(bytes) else {
        return false;
    };
    ["workbook", "book"]
        .iter()
        .filter_map(|name| file.stream(name))
        .any(|stream| stream_claims_too_much(&stream))
}

/// True when following the sectors of the file from one to the next leads back to one that was met. The reader would
/// go round and gather bytes until there is no memory left.
pub fn runs_in_circles(bytes: &[u8]) -> bool {
    Compound::of(bytes).is_some_and(|file| has_circle(&file.next) || has_circle(&file.next_small))
}

/// Whether numbers that each name the next one lead back to where they were.
fn has_circle(next: &[u32]) -> bool {
    // The walk on which a number was first met; 0 before.
    let mut met = vec![0_usize; next.len()];
    for start in 0..next.len() {
        let walk = start + 1;
        let mut at = start;
        while let Some(seen) = met.get_mut(at) {
            if *seen != 0 {
                if *seen == walk {
                    return true;
                }
                break;
            }
            *seen = walk;
            at = next[at] as usize;
        }
    }
    false
}

fn stream_claims_too_much(stream: &[u8]) -> bool {
    let positions: Vec<usize> = records(stream)
        .filter(|(kind, _)| *kind == BOUND_SHEET)
        .filter_map(|(_, data)| u32_at(data, 0))
        .filter_map(|position| usize::try_from(position).ok())
        .collect();
    positions.into_iter().any(|position| {
        let Some(sheet) = stream.get(position..) else {
            return false;
        };
        // A chart inside a sheet begins and ends in between.
        let mut depth = 0_i64;
        let mut spread = Spread::default();
        for (kind, data) in records(sheet) {
            match kind {
                BEGIN => depth += 1,
                END => {
                    depth -= 1;
                    if depth <= 0 {
                        return false;
                    }
                }
                DIMENSIONS if cells_claimed(data).is_some_and(|cells| cells > MOST_CELLS) => {
                    return true;
                }
                _ if CELLS.contains(&kind) => {
                    spread.take(kind, data);
                    if spread.cells() > MOST_CELLS {
                        return true;
                    }
                }
                _ => {}
            }
        }
        false
    })
}

/// The rectangle around the cells of a sheet: the reader sets memory aside for all of it.
#[derive(Default)]
struct Spread {
    rows: Option<(u16, u16)>,
    columns: Option<(u16, u16)>,
}

impl Spread {
    fn take(&mut self, kind: u16, data: &[u8]) {
        let (Some(row), Some(column)) = (u16_at(data, 0), u16_at(data, 2)) else {
            return;
        };
        let wider = |range: Option<(u16, u16)>, at: u16| match range {
            Some((first, last)) => Some((first.min(at), last.max(at))),
            None => Some((at, at)),
        };
        self.rows = wider(self.rows, row);
        self.columns = wider(self.columns, column);
        if kind == SEVERAL_NUMBERS
            && let Some(last) = data.len().checked_sub(2).and_then(|at| u16_at(data, at))
        {
            self.columns = wider(self.columns, last);
        }
    }

    fn cells(&self) -> u64 {
        let extent = |range: Option<(u16, u16)>| {
            range.map_or(0, |(first, last)| u64::from(last - first) + 1)
        };
        extent(self.rows) * extent(self.columns)
    }
}

/// Cells between the first and the last row and column that a record of dimensions gives.
fn cells_claimed(data: &[u8]) -> Option<u64> {
    let (first_row, end_row, first_column, end_column) = match data.len() {
        10 => (
            u32::from(u16_at(data, 0)?),
            u32::from(u16_at(data, 2)?),
            u16_at(data, 4)?,
            u16_at(data, 6)?,
        ),
        14 | 16 => (
            u32_at(data, 0)?,
            u32_at(data, 4)?,
            u16_at(data, 8)?,
            u16_at(data, 10)?,
        ),
        _ => return None,
    };
    let first_column = if first_column > 0xff || end_column < first_column {
        0
    } else {
        first_column
    };
    // An end before the beginning is read as a very large sheet.
    let rows = u64::from(end_row.wrapping_sub(first_row));
    let columns = u64::from(end_column.wrapping_sub(first_column));
    Some(rows.saturating_mul(columns))
}

/// Kind and data of each record, as far as they are whole.
fn records(stream: &[u8]) -> impl Iterator<Item = (u16, &[u8])> {
    let mut rest = stream;
    std::iter::from_fn(move || {
        let kind = u16_at(rest, 0)?;
        let length = usize::from(u16_at(rest, 2)?);
        let data = rest.get(4..4 + length)?;
        rest = &rest[4 + length..];
        Some((kind, data))
    })
}

/// A compound file: sectors, and the chains that they stand in.
struct Compound<'a> {
    bytes: &'a [u8],
    sector: usize,
    next: Vec<u32>,
    directory: Vec<u8>,
    small: Vec<u8>,
    next_small: Vec<u32>,
}

impl<'a> Compound<'a> {
    fn of(bytes: &'a [u8]) -> Option<Compound<'a>> {
        let sector = match u16_at(bytes, 30)? {
            9 => 512,
            12 => 4096,
            _ => return None,
        };
        let mut file = Compound {
            bytes,
            sector,
            next: Vec::new(),
            directory: Vec::new(),
            small: Vec::new(),
            next_small: Vec::new(),
        };
        let n_sectors = bytes.len() / sector + 1;
        let mut of_next: Vec<u32> = numbers(bytes.get(76..512)?).collect();
        let mut more = u32_at(bytes, 68)?;
        let mut steps = 0;
        while more < FIRST_SIGN && steps <= n_sectors {
            let Some(data) = file.sector(more) else { break };
            of_next.extend(numbers(data));
            let Some(last) = of_next.pop() else { break };
            more = last;
            steps += 1;
        }
        of_next.retain(|&id| id < FIRST_SIGN);
        of_next.truncate(n_sectors);
        let next: Vec<u32> = of_next
            .into_iter()
            .filter_map(|id| file.sector(id))
            .flat_map(numbers)
            .collect();
        file.next = next;
        file.directory = file.chain(u32_at(bytes, 48)?);
        let root = u32_at(&file.directory, 116)?;
        file.small = file.chain(root);
        file.next_small = numbers(&file.chain(u32_at(bytes, 60)?)).collect();
        Some(file)
    }

    fn sector(&self, id: u32) -> Option<&'a [u8]> {
        let from = (usize::try_from(id).ok()? + 1).checked_mul(self.sector)?;
        let to = (from + self.sector).min(self.bytes.len());
        self.bytes.get(from..to)
    }

    fn chain(&self, first: u32) -> Vec<u8> {
        let mut data = Vec::new();
        let mut id = first;
        while id < FIRST_SIGN && data.len() <= self.bytes.len() {
            let Some(sector) = self.sector(id) else { break };
            data.extend_from_slice(sector);
            match self.next.get(id as usize) {
                Some(&next) => id = next,
                None => break,
            }
        }
        data
    }

    fn small_chain(&self, first: u32) -> Vec<u8> {
        let mut data = Vec::new();
        let mut id = first;
        while id < FIRST_SIGN && data.len() <= self.small.len() {
            let from = id as usize * 64;
            let Some(sector) = self.small.get(from..(from + 64).min(self.small.len())) else {
                break;
            };
            data.extend_from_slice(sector);
            match self.next_small.get(id as usize) {
                Some(&next) => id = next,
                None => break,
            }
        }
        data
    }

    /// The first stream of this name, in lower case.
    fn stream(&self, name: &str) -> Option<Vec<u8>> {
        self.directory
            .chunks_exact(128)
            .find(|entry| {
                let units: Vec<u16> = entry[..64]
                    .chunks_exact(2)
                    .map(|pair| u16::from_le_bytes([pair[0], pair[1]]))
                    .take_while(|&unit| unit != 0)
                    .collect();
                String::from_utf16_lossy(&units).to_lowercase() == name
            })
            .and_then(|entry| {
                let first = u32_at(entry, 116)?;
                let length = u64::from(u32_at(entry, 120)?);
                Some(if length < SMALL_STREAM {
                    self.small_chain(first)
                } else {
                    self.chain(first)
                })
            })
    }
}

fn numbers(data: &[u8]) -> impl Iterator<Item = u32> {
    data.chunks_exact(4)
        .map(|four| u32::from_le_bytes([four[0], four[1], four[2], four[3]]))
}

fn u16_at(data: &[u8], at: usize) -> Option<u16> {
    let two = data.get(at..at + 2)?;
    Some(u16::from_le_bytes([two[0], two[1]]))
}

fn u32_at(data: &[u8], at: usize) -> Option<u32> {
    let four = data.get(at..at + 4)?;
    Some(u32::from_le_bytes([four[0], four[1], four[2], four[3]]))
}

#[cfg(test)]
mod tests {
    use super::*;

    const SOUND: &[u8] = include_bytes!("../tests/files/old_weights.xls");

    #[test]
    fn a_sound_file_claims_what_it_has() {
        let file = Compound::of(SOUND).expect("a compound file");
        let stream = file.stream("workbook").expect("its records");
        let sheets = records(&stream)
            .filter(|(kind, _)| *kind == BOUND_SHEET)
            .count();
        assert_eq!(sheets, 2);
        assert!(!claims_too_much(SOUND));
    }

    #[test]
    fn a_chain_without_an_end_is_refused() {
        assert!(!runs_in_circles(SOUND));
        assert!(!has_circle(&[1, 2, 9, 1]));
        assert!(has_circle(&[5, 2, 1]));
        assert!(has_circle(&[0]));
        // The directory's first sector names itself as the next.
        let mut round = SOUND.to_vec();
        let table = usize::try_from(u32_at(SOUND, 76).expect("a header")).expect("small");
        let first = u32_at(SOUND, 48).expect("a header");
        let at = (table + 1) * 512 + first as usize * 4;
        round[at..at + 4].copy_from_slice(&first.to_le_bytes());
        assert!(runs_in_circles(&round));
        assert!(crate::file::File::open(round).is_err());
    }

    #[test]
    fn a_sheet_of_a_thousand_million_cells_is_refused() {
        // The dimensions of the first sheet: their kind, their length, the first row, the row behind the last.
        let at = SOUND
            .windows(4)
            .position(|four| four == [0x00, 0x02, 0x0e, 0x00])
            .expect("dimensions");
        let mut claims = SOUND.to_vec();
        claims[at + 8..at + 12].copy_from_slice(&0x7fff_ffff_u32.to_le_bytes());
        assert!(claims_too_much(&claims));
        assert!(crate::file::File::open(claims).is_err());
        // A cell far to the right of all others, in the last row.
        let at = SOUND
            .windows(4)
            .position(|four| four == [0xfd, 0x00, 0x0a, 0x00])
            .expect("a cell of shared text");
        let mut far = SOUND.to_vec();
        far[at + 4..at + 8].copy_from_slice(&[0xff, 0xff, 0xff, 0xff]);
        assert!(claims_too_much(&far));
        assert!(crate::file::File::open(far).is_err());
        let at = SOUND
            .windows(4)
            .position(|four| four == [0x00, 0x02, 0x0e, 0x00])
            .expect("dimensions");
        // An end before the beginning.
        let mut claims = SOUND.to_vec();
        claims[at + 4..at + 8].copy_from_slice(&0x0001_0000_u32.to_le_bytes());
        assert!(claims_too_much(&claims));
    }
}
