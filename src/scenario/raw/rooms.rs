//! Stores and jars.

use crate::units::{
    Count, Electricity, Frequency, Length, Mass, Part, Power, Temperature, TemperatureDifference, Text as Q,
    Volume,
};

use super::{Entries, OneOrMany, Text, TextOr, layered};

layered! {
/// A store. A preset is the same struct.
pub struct Store {
    /// A preset that fills what is not said here.
    pub like: Option<Text>,
    /// So many equal ones, as if each were written: `2`. A rule that names it
    /// speaks of all of them. Default 1.
    #[serde(rename = "how many")]
    pub how_many: Option<Q<Count>>,
    /// `fridge` (default), `freezer`, `ageing`, `pantry`.
    pub kind: Option<Text>,
    /// `3 of 24 in x 14 in x 11 in` (width x depth x clear height), or a list of such.
    pub shelves: Option<OneOrMany>,
    /// What one shelf may carry: `50 lb`.
    #[serde(rename = "shelf load")]
    pub shelf_load: Option<Q<Mass>>,
    /// Inside room without shelves: `60 L`, `7 cu ft`; a jar takes the box around it.
    /// It takes the place of the shelves of a preset.
    pub room: Option<Q<Volume>>,
    /// Temperature: `38 °F`.
    pub at: Option<Q<Temperature>>,
    /// Temperature in months that differ: `{jul: 75 °F}`.
    #[serde(rename = "at by month")]
    pub at_by_month: Option<Entries<Q<Temperature>>>,
    /// Swing of the temperature (standard deviation): `2 °F`.
    pub swings: Option<Q<TemperatureDifference>>,
    /// `half`, `a third`, `a quarter`, `none`, `40 %`, or a map by month.
    #[serde(rename = "other food takes")]
    pub other_food_takes: Option<TextOr<Entries<Text>>>,
    /// `still` or `fan`.
    pub fan: Option<Text>,
    /// Cooling power beyond what the walls let in: `80 W`.
    #[serde(rename = "spare cooling")]
    pub spare_cooling: Option<Q<Power>>,
    /// Temperature around it: `95 °F`; default that of the counter.
    pub around: Option<Q<Temperature>>,
    /// Temperature around it in months that differ: `{jul: 95 °F}`.
    #[serde(rename = "around by month")]
    pub around_by_month: Option<Entries<Q<Temperature>>>,
    /// How often its door is opened: `40 times a day`.
    pub opened: Option<Q<Frequency>>,
    /// `mains` (default for fridges and freezers), or `nothing`: a cellar, a spring house.
    #[serde(rename = "runs on")]
    pub runs_on: Option<Text>,
    /// Electricity that it uses, off its label or a meter: `335 kWh a year`; not told where not written.
    pub uses: Option<Q<Electricity>>,
    /// Items or groups that may stand here; default: whatever keeps here.
    pub takes: Option<Vec<Text>>,
    /// A freezer: what it can freeze a day: `6 kg`.
    #[serde(rename = "freezes a day")]
    pub freezes_a_day: Option<Q<Mass>>,
    /// Where each figure of a preset comes from, by field.
    pub sources: Option<Entries<Text>>,
}
}

layered! {
/// A jar size. A preset is the same struct.
pub struct Jar {
    /// How many are owned.
    pub count: Option<Q<Count>>,
    /// Chance that one breaks at a washing: `0.2 %`.
    pub breaks: Option<Q<Part>>,
    /// What it is sold as: `1.893 L`.
    pub holds: Option<Q<Volume>>,
    /// What is filled into it: `1.8 L`; default 95 % of `holds`.
    #[serde(rename = "filled to")]
    pub filled_to: Option<Q<Volume>>,
    /// Outer diameter: `117 mm`.
    pub across: Option<Q<Length>>,
    /// Height with lid: `236 mm`.
    pub height: Option<Q<Length>>,
    /// Empty weight: `0.9 kg`.
    pub weighs: Option<Q<Mass>>,
    /// Where each figure of a preset comes from, by field.
    pub sources: Option<Entries<Text>>,
}
}
