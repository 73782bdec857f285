//! The text of a scenario and where everything stands in it.
