//! Calendar dates and simulated days.
