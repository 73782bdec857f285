//! `manifest.json`: what made the files beside it. No clock, host or path.

use serde_json::{Map, Value, json};

use super::{ReportError, Subject};

/// What the files beside a manifest tell of.
#[derive(Clone, Debug)]
pub struct Made {
    /// File, title and SHA-256 of the scenario: as in the files themselves.
    pub scenario: Value,
    /// Seed.
    pub seed: u64,
    /// Trials.
    pub trials: u32,
    /// Days of a trial.
    pub days: u32,
    /// What else was read, in order: key and value.
    pub more: Vec<(&'static str, Value)>,
}

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

impl Manifest {
    /// Its bytes, given the names and hashes (SHA-256, hex) of all other files.
    ///
    /// # Errors
    /// When serialising fails (never in practice: memory only).
    pub fn bytes(&self, subject: &Subject, hashes: &[(String, String)]) -> Result<Vec<u8>, ReportError> {
        let made = Made {
            scenario: json!({"file": subject.file, "title": subject.names.title, "sha256": subject.sha256}),
            seed: subject.result.seed,
            trials: subject.result.trials,
            days: subject.result.days,
            more: vec![],
        };
        self.bytes_of(&made, hashes)
    }

    /// The same for files that are not of one run.
    ///
    /// # Errors
    /// When serialising fails (never in practice: memory only).
    pub fn bytes_of(&self, made: &Made, hashes: &[(String, String)]) -> Result<Vec<u8>, ReportError> {
        let options: Map<String, Value> = self
            .options
            .iter()
            .map(|(k, v, from)| ((*k).to_string(), json!({"value": v, "from": from})))
            .collect();
        let hashes: Map<String, Value> = hashes.iter().map(|(n, h)| (n.clone(), json!(h))).collect();
        let mut top = Map::new();
        let mut put = |key: &str, value: Value| {
            top.insert(key.to_string(), value);
        };
        put("springhouse", json!(env!("CARGO_PKG_VERSION")));
        put("command", json!(self.command));
        put("scenario", made.scenario.clone());
        for (key, value) in &made.more {
            put(key, value.clone());
        }
        put("seed", json!(made.seed));
        put("trials", json!(made.trials));
        put("days", json!(made.days));
        put("options", Value::Object(options));
        put("threads", json!({"value": self.threads, "affects_results": false}));
        put("files", Value::Object(hashes));
        let mut bytes = serde_json::to_vec_pretty(&Value::Object(top))?;
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
