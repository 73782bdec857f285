//! `manifest.json`: what made the files beside it. No clock, host or path.

use serde_json::{Map, Value, json};

use super::{ReportError, Subject};

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

/// Name of the manifest.
pub const MANIFEST: &str = "manifest.json";

/// What the files are about.
#[derive(Clone, Copy, Debug)]
pub struct About<'a> {
    /// Name of the scenario file, without folders.
    pub file: &'a str,
    /// Title of the scenario.
    pub title: &'a str,
    /// SHA-256 of the bytes parsed, hex.
    pub sha256: &'a str,
    /// Seed.
    pub seed: u64,
    /// Trials simulated (each scenario, where there are several).
    pub trials: u32,
    /// Days of a trial.
    pub days: u32,
}

impl Manifest {
    /// Its bytes, given the names and hashes (SHA-256, hex) of all other files.
    ///
    /// # Errors
    /// When serialising fails (never in practice: memory only).
    pub fn bytes(&self, subject: &Subject, hashes: &[(String, String)]) -> Result<Vec<u8>, ReportError> {
        let about = About {
            file: subject.file,
            title: &subject.names.title,
            sha256: subject.sha256,
            seed: subject.result.seed,
            trials: subject.result.trials,
            days: subject.result.days,
        };
        self.bytes_about(&about, hashes)
    }

    /// The same for files that are not about a single run.
    ///
    /// # Errors
    /// When serialising fails (never in practice: memory only).
    pub fn bytes_about(&self, about: &About, hashes: &[(String, String)]) -> Result<Vec<u8>, ReportError> {
        let options: Map<String, Value> = self
            .options
            .iter()
            .map(|(k, v, from)| ((*k).to_string(), json!({"value": v, "from": from})))
            .collect();
        let hashes: Map<String, Value> = hashes.iter().map(|(n, h)| (n.clone(), json!(h))).collect();
        let value = json!({
            "springhouse": env!("CARGO_PKG_VERSION"),
            "command": self.command,
            "scenario": {"file": about.file, "title": about.title, "sha256": about.sha256},
            "seed": about.seed,
            "trials": about.trials,
            "days": about.days,
            "options": options,
            "threads": {"value": self.threads, "affects_results": false},
            "files": hashes,
        });
        let mut bytes = serde_json::to_vec_pretty(&value)?;
        bytes.push(b'\n');
        Ok(bytes)
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
    Some(files.keys().cloned().chain([MANIFEST.to_string()]).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn other_manifests_are_not_ours() {
        assert_eq!(listed_files(b"{}"), None);
        assert_eq!(listed_files(b"{\"name\": \"web app\", \"files\": {}}"), None);
        assert_eq!(listed_files(b"not json"), None);
    }
}
