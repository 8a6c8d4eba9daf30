//! Files written whole or not at all.
//!
//! Enters: a folder or a path, and finished bytes. Leaves: files.
//! Always true: a file appears under its name only when all of it is on the disk; everything of a run is
//! written before the first name is changed; an input is never written over, and neither is a file that
//! this command did not write.
//! Never: leaves a half-written file under a name people use.

use std::fs;
use std::io::{self, Read, Write};
use std::path::{Path, PathBuf};

use tempfile::NamedTempFile;

use crate::failure::Failure;

/// One file to write.
pub struct OutputFile {
    /// Where.
    pub path: PathBuf,
    /// What.
    pub bytes: Vec<u8>,
    /// How a file of an earlier run is known.
    pub mark: Mark,
}

/// How a file that this command wrote is told from anybody else's.
#[derive(Clone, Debug)]
pub enum Mark {
    /// It begins with this text (the header line of a CSV).
    BeginsWith(String),
    /// Its first 4,096 bytes hold this text.
    Holds(&'static str),
}

impl Mark {
    /// True when the file at `path` carries the mark.
    fn on(&self, path: &Path) -> io::Result<bool> {
        let mut beginning = Vec::new();
        fs::File::open(path)?
            .take(4096)
            .read_to_end(&mut beginning)?;
        Ok(match self {
            Mark::BeginsWith(text) => beginning.starts_with(text.as_bytes()),
            Mark::Holds(text) => beginning
                .windows(text.len())
                .any(|part| part == text.as_bytes()),
        })
    }
}

/// Says a text on standard output. That its reader wants no more (as when a pager is left) is no failure.
pub fn say(text: &str) -> Result<(), Failure> {
    let mut out = io::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Err(error) if error.kind() != io::ErrorKind::BrokenPipe => Err(Failure::new(
            format!("The text for the screen could not be written: {error}."),
            "Look at where the output of the command goes.",
        )),
        _ => Ok(()),
    }
}

/// Makes the folder, with the folders above it.
pub fn make_folder(folder: &Path) -> Result<(), Failure> {
    fs::create_dir_all(folder).map_err(|error| Failure::of_path("make the folder", folder, &error))
}

/// Refuses a path that holds an input of this run, or a file that some other program or person wrote.
pub fn may_write(path: &Path, mark: &Mark, inputs: &[PathBuf]) -> Result<(), Failure> {
    let Ok(there) = fs::metadata(path) else {
        return Ok(());
    };
    if there.is_dir() {
        return Err(Failure::new(
            format!(
                "{} is a folder, and a file of that name has to be written.",
                path.display()
            ),
            "Choose another folder for the output.",
        ));
    }
    let real = fs::canonicalize(path).map_err(|error| Failure::of_path("look at", path, &error))?;
    let is_input = inputs
        .iter()
        .any(|input| fs::canonicalize(input).is_ok_and(|input| input == real));
    if is_input {
        return Err(Failure::new(
            format!(
                "{} is read in this run and would be written over.",
                path.display()
            ),
            "Choose another folder for the output.",
        ));
    }
    match mark.on(path) {
        Ok(true) => Ok(()),
        Ok(false) => Err(Failure::new(
            format!(
                "{} is there already and was not written by this command. It was left alone.",
                path.display()
            ),
            "Choose another folder for the output, or move that file away.",
        )),
        Err(error) => Err(Failure::of_path("look at", path, &error)),
    }
}

/// Writes all files: first every one beside its place under a passing name, then the names.
pub fn write_all(files: &[OutputFile]) -> Result<(), Failure> {
    let mut staged = Vec::with_capacity(files.len());
    for file in files {
        let temporary =
            stage(file).map_err(|error| Failure::of_path("write", &file.path, &error))?;
        staged.push(temporary);
    }
    for (temporary, file) in staged.into_iter().zip(files) {
        temporary
            .persist(&file.path)
            .map_err(|refused| Failure::of_path("write", &file.path, &refused.error))?;
    }
    Ok(())
}

/// Takes away a file of an earlier run that this run does not write, so that no folder holds two runs.
/// True when there was one.
pub fn remove_stale(path: &Path, mark: &Mark, inputs: &[PathBuf]) -> Result<bool, Failure> {
    if !path.is_file() || may_write(path, mark, inputs).is_err() {
        return Ok(false);
    }
    fs::remove_file(path).map_err(|error| Failure::of_path("take away the old", path, &error))?;
    Ok(true)
}

fn stage(file: &OutputFile) -> io::Result<NamedTempFile> {
    let folder = match file.path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    };
    let mut builder = tempfile::Builder::new();
    builder.prefix(".fairpen-").suffix(".part");
    // Like any file people make: readable as their own settings say, not by the owner alone.
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        builder.permissions(fs::Permissions::from_mode(0o666));
    }
    let mut temporary = builder.tempfile_in(folder)?;
    temporary.write_all(&file.bytes)?;
    temporary.as_file().sync_all()?;
    Ok(temporary)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn file(path: PathBuf, text: &str) -> OutputFile {
        OutputFile {
            path,
            bytes: text.as_bytes().to_vec(),
            mark: Mark::BeginsWith("tag,".to_owned()),
        }
    }

    #[test]
    fn only_own_files_are_replaced() {
        let folder = tempfile::tempdir().expect("a folder");
        let path = folder.path().join("adjusted.csv");
        let mark = Mark::BeginsWith("tag,".to_owned());
        assert!(may_write(&path, &mark, &[]).is_ok());
        fs::write(&path, "my own list\n").expect("written");
        assert!(may_write(&path, &mark, &[]).is_err());
        assert!(!remove_stale(&path, &mark, &[]).expect("left alone"));
        assert_eq!(
            fs::read_to_string(&path).expect("still there"),
            "my own list\n"
        );
        fs::write(&path, "tag,sex\n1,bull\n").expect("written");
        assert!(may_write(&path, &mark, &[]).is_ok());
        assert!(
            may_write(&path, &mark, std::slice::from_ref(&path)).is_err(),
            "an input stays"
        );
        write_all(&[file(path.clone(), "tag,new\n")]).expect("written");
        assert_eq!(fs::read_to_string(&path).expect("there"), "tag,new\n");
        assert!(remove_stale(&path, &mark, &[]).expect("taken away"));
        assert!(!path.exists());
    }

    #[test]
    fn when_one_cannot_be_written_none_is() {
        let folder = tempfile::tempdir().expect("a folder");
        let good = folder.path().join("groups.csv");
        let bad = folder.path().join("not there").join("adjusted.csv");
        assert!(write_all(&[file(good.clone(), "tag,\n"), file(bad, "tag,\n")]).is_err());
        assert!(!good.exists());
        let left: Vec<_> = fs::read_dir(folder.path()).expect("listed").collect();
        assert!(left.is_empty(), "{left:?}");
    }
}
