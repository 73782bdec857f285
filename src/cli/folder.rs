//! The output folder: written beside and renamed, whole or not at all.

use std::fs;
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use sha2::{Digest, Sha256};
use tempfile::TempDir;

use super::Failure;
use crate::report::html;
use crate::report::{MANIFEST, ReportError, listed_files};

/// A folder that may be written: checked before the long run.
#[derive(Debug)]
pub struct Folder {
    target: PathBuf,
    parent: PathBuf,
}

impl Folder {
    /// Looks whether `target` may be written or replaced, and tries to make a
    /// folder beside it. `input` is never inside a folder that is replaced.
    pub fn prepare(target: &Path, force: bool, input: &Path) -> Result<Self, Failure> {
        // A link is followed: what it points to is replaced, not the link.
        let target = fs::canonicalize(target).unwrap_or_else(|_| target.to_path_buf());
        let shown = target.display().to_string();
        match fs::symlink_metadata(&target) {
            Ok(meta) if !meta.is_dir() => {
                return Err(Failure::Other(format!(
                    "{shown} is a file; choose another folder for the results with --out"
                )));
            }
            Ok(_) => may_replace(&target, force, input)?,
            Err(e) if e.kind() == io::ErrorKind::NotFound => {}
            Err(e) => return Err(Failure::Other(format!("cannot look at {shown}: {e}"))),
        }
        let parent = match target.parent() {
            Some(p) if p.as_os_str().is_empty() => Path::new("."),
            Some(p) => p,
            None => return Err(Failure::Other(format!("{shown} cannot be an output folder"))),
        };
        let cannot = |e: io::Error| Failure::Other(format!("cannot write in {}: {e}", parent.display()));
        fs::create_dir_all(parent).map_err(cannot)?;
        // Made and removed at once: a run that is broken off leaves nothing.
        drop(beside(parent).map_err(cannot)?);
        let parent = parent.to_path_buf();
        Ok(Self { target, parent })
    }

    /// Begins to write, beside the target.
    pub fn begin(self) -> Result<Writing, Failure> {
        let beside = beside(&self.parent).map_err(|e| self.cannot(&e))?;
        Ok(Writing { folder: self, beside, hashes: Vec::new() })
    }

    fn cannot(&self, e: &dyn std::fmt::Display) -> Failure {
        Failure::Other(format!("cannot write {}: {e}", self.target.display()))
    }
}

/// A folder being written; given up without a trace when dropped.
#[derive(Debug)]
pub struct Writing {
    folder: Folder,
    beside: TempDir,
    hashes: Vec<(String, String)>,
}

impl Writing {
    /// Writes one file.
    pub fn file(
        &mut self,
        name: &str,
        write: impl FnOnce(&mut dyn Write) -> Result<(), ReportError>,
    ) -> Result<(), Failure> {
        let file = fs::File::create_new(self.beside.path().join(name)).map_err(|e| self.folder.cannot(&e))?;
        let mut out = Hashing { out: io::BufWriter::new(file), hash: Sha256::new() };
        write(&mut out)
            .and_then(|()| Ok(out.out.flush()?))
            .and_then(|()| Ok(out.out.get_ref().sync_all()?))
            .map_err(|e| self.folder.cannot(&e))?;
        let hash = out.hash.finalize().iter().map(|b| format!("{b:02x}")).collect();
        self.hashes.push((name.to_string(), hash));
        Ok(())
    }

    /// Writes the page of the report.
    pub fn page(&mut self, page: &str) -> Result<(), Failure> {
        self.file(html::REPORT, |out| Ok(out.write_all(page.as_bytes())?))
    }

    /// Writes the pictures, if they were asked for.
    pub fn pictures(&mut self, files: Vec<(String, String)>, asked: bool) -> Result<(), Failure> {
        for (name, text) in files.into_iter().filter(|_| asked) {
            self.file(&name, |out| Ok(out.write_all(text.as_bytes())?))?;
        }
        Ok(())
    }

    /// Names and SHA-256 of the files written so far.
    pub fn hashes(&self) -> &[(String, String)] {
        &self.hashes
    }

    /// Puts the folder in its place.
    pub fn finish(self) -> Result<(), Failure> {
        let Self { folder, beside, .. } = self;
        let cannot = |e: io::Error| folder.cannot(&e);
        if folder.target.exists() {
            let aside = tempfile::Builder::new()
                .prefix(".springhouse-old-")
                .tempdir_in(&folder.parent)
                .map_err(cannot)?;
            let old = aside.path().join("old");
            fs::rename(&folder.target, &old).map_err(cannot)?;
            if let Err(e) = fs::rename(beside.path(), &folder.target) {
                // The old results are better than none.
                let _ = fs::rename(&old, &folder.target);
                return Err(cannot(e));
            }
        } else {
            fs::rename(beside.path(), &folder.target).map_err(cannot)?;
        }
        // It has been renamed: there is nothing left to clean up.
        let _ = beside.keep();
        Ok(())
    }
}

/// Hashes what passes through.
struct Hashing<W> {
    out: W,
    hash: Sha256,
}

impl<W: Write> Write for Hashing<W> {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        let n = self.out.write(bytes)?;
        self.hash.update(&bytes[..n]);
        Ok(n)
    }

    fn flush(&mut self) -> io::Result<()> {
        self.out.flush()
    }
}

/// A new folder beside the target, removed when dropped.
fn beside(parent: &Path) -> io::Result<TempDir> {
    let mut builder = tempfile::Builder::new();
    builder.prefix(".springhouse-");
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        // Like any folder the user makes; the umask takes its part.
        builder.permissions(fs::Permissions::from_mode(0o777));
    }
    builder.tempdir_in(parent)
}

/// An existing folder may be replaced when it is empty, or holds our manifest
/// and nothing that the manifest does not list. `force` waives the second, but
/// nothing waives the first lines.
fn may_replace(target: &Path, force: bool, input: &Path) -> Result<(), Failure> {
    let shown = target.display();
    let holds = |path: io::Result<PathBuf>| path.is_ok_and(|p| p.starts_with(target));
    if holds(std::env::current_dir()) || holds(fs::canonicalize(input)) {
        return Err(Failure::Other(format!(
            "{shown} holds the scenario or the folder you are in, and would be replaced; choose another with --out"
        )));
    }
    let entries =
        fs::read_dir(target).map_err(|e| Failure::Other(format!("cannot look into {shown}: {e}")))?;
    let names: Vec<String> =
        entries.flatten().map(|e| e.file_name().to_string_lossy().into_owned()).collect();
    if names.is_empty() || force {
        return Ok(());
    }
    let Some(ours) = fs::read(target.join(MANIFEST)).ok().and_then(|b| listed_files(&b)) else {
        return Err(Failure::Other(format!(
            "{shown} was not written by this program; choose another folder with --out, or replace it with --force"
        )));
    };
    if let Some(other) = names.iter().find(|n| !ours.contains(n)) {
        return Err(Failure::Other(format!(
            "{shown} also holds {other}, which would be lost; choose another folder with --out, or replace it with --force"
        )));
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn write(folder: Folder, text: &str) -> Vec<(String, String)> {
        let manifest = br#"{"springhouse": "0", "scenario": {"sha256": ""}, "files": {"a.csv": ""}}"#;
        let mut writing = folder.begin().unwrap();
        writing.file("a.csv", |out| Ok(out.write_all(text.as_bytes())?)).unwrap();
        writing.file(MANIFEST, |out| Ok(out.write_all(manifest)?)).unwrap();
        let hashes = writing.hashes().to_vec();
        writing.finish().unwrap();
        hashes
    }

    /// FIPS 180-4, the worked example for the message "abc".
    #[test]
    fn hash_of_the_standard() {
        let dir = tempfile::tempdir().unwrap();
        let folder = Folder::prepare(&dir.path().join("out"), false, Path::new("x")).unwrap();
        let hashes = write(folder, "abc");
        assert_eq!(hashes[0].1, "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
    }

    #[test]
    fn given_up_without_a_trace() {
        let dir = tempfile::tempdir().unwrap();
        let mut writing =
            Folder::prepare(&dir.path().join("out"), false, Path::new("x")).unwrap().begin().unwrap();
        let fails = writing.file("a.csv", |_| Err(io::Error::other("full").into()));
        assert!(matches!(fails, Err(Failure::Other(t)) if t.contains("full")));
        drop(writing);
        assert_eq!(fs::read_dir(dir.path()).unwrap().count(), 0);
    }

    #[test]
    fn written_whole_and_replaced_only_if_ours() {
        let dir = tempfile::tempdir().unwrap();
        let out = dir.path().join("deep/out");
        let input = dir.path().join("in.yaml");
        write(Folder::prepare(&out, false, &input).unwrap(), "one");
        assert_eq!(fs::read_to_string(out.join("a.csv")).unwrap(), "one");
        write(Folder::prepare(&out, false, &input).unwrap(), "two");
        assert_eq!(fs::read_to_string(out.join("a.csv")).unwrap(), "two");
        fs::write(out.join("notes.txt"), "mine").unwrap();
        assert!(
            matches!(Folder::prepare(&out, false, &input), Err(Failure::Other(t)) if t.contains("notes.txt"))
        );
        assert!(Folder::prepare(&out, true, &input).is_ok());
        // Nothing but the target is left beside it.
        let left: Vec<_> = fs::read_dir(dir.path().join("deep")).unwrap().flatten().collect();
        assert_eq!(left.len(), 1, "{left:?}");
    }

    #[test]
    fn a_folder_with_the_scenario_is_never_replaced() {
        let dir = tempfile::tempdir().unwrap();
        let input = dir.path().join("in.yaml");
        fs::write(&input, "").unwrap();
        assert!(Folder::prepare(dir.path(), true, &input).is_err());
        assert!(input.exists());
    }
}
