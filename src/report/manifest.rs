//! `manifest.json`: what made the files beside it. No clock, host or path.

use serde_json::{Map, Value, json};
use sha2::{Digest, Sha256};

use super::{NamedBytes, ReportError, Subject};

/// What is told beside the results.
#[derive(Clone, Debug)]
pub struct Manifest {
    /// The command that repeats the run, with the file's name only.
    pub command: String,
    /// Threads used.
    pub threads: usize,
    /// Effective options, in order: name, value, where it came from (`option`,
    /// `scenario`, `default`).
    pub options: Vec<(&'static str, Value, &'static str)>,
}

const NAME: &str = "manifest.json";

impl Manifest {
    /// The file, given all the others.
    ///
    /// # Errors
    /// When serialising fails (never in practice: memory only).
    pub fn file(&self, subject: &Subject, files: &[NamedBytes]) -> Result<NamedBytes, ReportError> {
        let options: Map<String, Value> = self
            .options
            .iter()
            .map(|(k, v, from)| ((*k).to_string(), json!({"value": v, "from": from})))
            .collect();
        let hashes: Map<String, Value> = files.iter().map(|(n, b)| (n.clone(), json!(sha256(b)))).collect();
        let value = json!({
            "springhouse": env!("CARGO_PKG_VERSION"),
            "command": self.command,
            "scenario": {"file": subject.file, "title": subject.names.title, "sha256": subject.sha256},
            "seed": subject.result.seed,
            "trials": subject.result.trials,
            "days": subject.result.days,
            "options": options,
            "threads": {"value": self.threads, "affects_results": false},
            "files": hashes,
        });
        let mut bytes = serde_json::to_vec_pretty(&value)?;
        bytes.push(b'\n');
        Ok((NAME.into(), bytes))
    }
}

/// Names of the files that a manifest lists, with itself; `None` if it is not
/// one of ours.
#[must_use]
pub fn listed_files(bytes: &[u8]) -> Option<Vec<String>> {
    let value: Value = serde_json::from_slice(bytes).ok()?;
    value.get("springhouse")?.as_str()?;
    value.get("scenario")?.get("sha256")?;
    let files = value.get("files")?.as_object()?;
    Some(files.keys().cloned().chain([NAME.to_string()]).collect())
}

/// SHA-256 in hex.
fn sha256(bytes: &[u8]) -> String {
    Sha256::digest(bytes).iter().map(|b| format!("{b:02x}")).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// FIPS 180-4, the worked example for the message "abc".
    #[test]
    fn hash_of_the_standard() {
        assert_eq!(sha256(b"abc"), "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
    }

    #[test]
    fn other_manifests_are_not_ours() {
        assert_eq!(listed_files(b"{}"), None);
        assert_eq!(listed_files(b"{\"name\": \"web app\", \"files\": {}}"), None);
        assert_eq!(listed_files(b"not json"), None);
    }
}
