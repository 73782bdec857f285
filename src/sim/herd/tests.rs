//! Hand-worked tables and laws of the herd.
