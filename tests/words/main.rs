//! The summary says the right numbers in plain words.

mod answer;
mod body;
mod dry;
mod files;
mod house;
mod remedies;
