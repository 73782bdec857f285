//! Preset texts, each figure with its source.
