//! Cream that rises in a jar at rest, and what a skim takes.
//!
//! Mass is treated as volume throughout this module: a part of the jar's
//! height is taken as the same part of its milk's mass. Cream is up to 3 %
//! lighter than milk, so a depth is off by at most that much of itself.

use super::species::Species;

/// Part of the fat that rises in the end, cow. With [`TAU_COW_H`] set so that
/// 3.75 % milk is left with 0.20 % below the cream at 48 h and 4 °C (Ma and
/// Barbano 2000, Journal of Dairy Science 83:1719) and that a layer of
/// [`VOLUME_PER_FAT`] holds 22.5 % at 24 h.
const RISEN_IN_THE_END: f64 = 0.95;
/// Hours at 4 °C in which the unrisen fat falls to 1/e, cow; worked out
/// with [`RISEN_IN_THE_END`].
const TAU_COW_H: f64 = 8.0;
/// The same for goat and sheep, whose fat does not cluster in the cold (Fox and
/// McSweeney 1998): about 15 % risen after 48 h, our default, from Stokes' law
/// for goat globules (Attaie and Richter 2000, Journal of Dairy Science 83:940).
const TAU_SMALL_H: f64 = 279.0;

/// Volume of the layer per mass fraction of fat at 24 h and 3 to 4 °C, cow
/// ("The volume of the cream layers forming on Holstein and Jersey milk",
/// Journal of Dairy Science, read second hand in its abstract; authors and year not known to us).
pub const VOLUME_PER_FAT: f64 = 4.1;

/// Volume of the layer against its volume at 24 h, by hours at 4 °C, cow: it
/// forms in the first two hours, is loose until 12 h and packs until 48 h
/// (course from common practice, figures our default).
const LOOSE: [(f64, f64); 5] = [(0.0, 0.0), (2.0, 1.2), (12.0, 1.2), (24.0, 1.0), (48.0, 0.9)];

/// Fat above what is left below, at the top of the layer over its bottom: a
/// straight line from 40 to 5 % over 0.49 % left below (5 % milk at 24 h; our
/// default).
const TOP_OVER_BOTTOM: f64 = 8.76;
/// Fat that packed globules reach at most (our default): only matters for rich
/// cream left to stand, and what is fatter does not part at all.
const PACKED_FAT: f64 = 0.60;

/// Factor on the pace of rising per 10 K: 22 h at 4 °C do as much as 7 h at
/// 12 °C (Caplan, Melilli and Barbano 2013, Journal of Dairy Science 96:2011).
const Q10: f64 = 4.2;

/// Hours of rising at 4 °C gained in an hour at `temp_c` (°C).
///
/// The factor is published for 4 to 12 °C. It is carried on to 15 °C, where fat
/// still rises faster (Ma and Barbano 2000), held level to 20 °C and brought to
/// nothing at 37 °C, where clusters break (Fox and McSweeney 1998); below
/// −0.5 °C milk freezes and nothing rises. Bounds and blends are our default.
#[must_use]
pub fn rise_rate(temp_c: f64) -> f64 {
    const HELD_C: f64 = 15.0;
    const FADES_FROM_C: f64 = 20.0;
    const STOPS_C: f64 = 37.0;
    if temp_c < -0.5 {
        return 0.0;
    }
    let fade = ((STOPS_C - temp_c) / (STOPS_C - FADES_FROM_C)).clamp(0.0, 1.0);
    Q10.powf((temp_c.min(HELD_C) - 4.0) / 10.0) * fade
}

/// Part of the fat that has risen after so many hours at 4 °C, 0 to 0.95.
/// Fat that has not risen is still spread evenly over the jar.
#[must_use]
pub fn risen(hours_at_4c: f64, species: Species) -> f64 {
    let tau = match species {
        Species::Cow => TAU_COW_H,
        Species::Goat | Species::Sheep => TAU_SMALL_H,
    };
    RISEN_IN_THE_END * -(-hours_at_4c.max(0.0) / tau).exp_m1()
}

/// The cream layer of a jar at rest. Fat falls in a straight line from the top
/// of the layer to its bottom; below it the fat is even. All mass fractions.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Layer {
    /// Part of the jar that the layer fills, 0 to 1.
    pub volume_part: f64,
    /// Fat at the very top.
    pub top_fat: f64,
    /// Fat at the bottom of the layer, not below `below_fat`.
    pub bottom_fat: f64,
    /// Fat of the milk under the layer.
    pub below_fat: f64,
}

/// What a cut takes off the top of a jar.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cut {
    /// Part of the jar taken (mass treated as volume), 0 to 1.
    pub part: f64,
    /// Its mean fat, mass fraction.
    pub fat_part: f64,
}

impl Cut {
    /// Fat of what is left in the jar after this cut from milk of `fat_part`:
    /// `(F − part · fat)/(1 − part)`, mass fraction; 0 when nothing is left.
    #[must_use]
    pub fn leaves(&self, fat_part: f64) -> f64 {
        let left = 1.0 - self.part;
        if left > 0.0 { ((fat_part - self.part * self.fat_part) / left).max(0.0) } else { 0.0 }
    }
}

impl Layer {
    /// The layer on milk or cream of `fat_part` (mass fraction, 0 to 1) after
    /// so many hours at 4 °C. The fat of the jar is conserved:
    /// `mean · volume_part + below_fat · (1 − volume_part) = fat_part`.
    #[must_use]
    pub fn at_rest(fat_part: f64, hours_at_4c: f64, species: Species) -> Self {
        let fat = fat_part.clamp(0.0, 1.0);
        let risen = risen(hours_at_4c, species);
        let full = VOLUME_PER_FAT * fat;
        let loose_part = match species {
            Species::Cow => full * loose(hours_at_4c),
            // Without clusters nothing is loose: the layer holds what has risen,
            // packed as a cow's at 24 h.
            Species::Goat | Species::Sheep => full * risen / RISEN_COW_24H,
        };
        if loose_part <= 0.0 || risen <= 0.0 || fat >= PACKED_FAT {
            return Self { volume_part: 0.0, top_fat: fat, bottom_fat: fat, below_fat: fat };
        }
        let below_fat = fat * (1.0 - risen);
        // Room enough that the layer is not fatter than packed globules are.
        let volume_part = loose_part.max(fat * risen / (PACKED_FAT - below_fat)).min(1.0);
        // Risen fat over the layer's room, so that nothing is lost or made.
        let excess = fat * risen / volume_part;
        let top_fat = (below_fat + excess * 2.0 * TOP_OVER_BOTTOM / (1.0 + TOP_OVER_BOTTOM)).min(PACKED_FAT);
        Self { volume_part, top_fat, bottom_fat: 2.0 * (below_fat + excess) - top_fat, below_fat }
    }

    /// Mean fat of the layer.
    #[must_use]
    pub fn mean_fat(&self) -> f64 {
        0.5 * (self.top_fat + self.bottom_fat)
    }

    /// Fat of the whole jar.
    #[must_use]
    pub fn fat_part(&self) -> f64 {
        self.mean_fat() * self.volume_part + self.below_fat * (1.0 - self.volume_part)
    }

    /// Fat at a depth (part of the jar from the top).
    #[must_use]
    pub fn fat_at(&self, depth: f64) -> f64 {
        if depth < self.volume_part { self.top_fat - self.slope() * depth.max(0.0) } else { self.below_fat }
    }

    /// Takes the top `depth` of the jar (part of the jar, held to 0 … 1; it may
    /// reach below the layer). A cut of nothing has the fat of the very top.
    #[must_use]
    pub fn cut(&self, depth: f64) -> Cut {
        let part = depth.clamp(0.0, 1.0);
        let fat_part = if part <= self.volume_part {
            self.top_fat - 0.5 * self.slope() * part
        } else {
            (self.mean_fat() * self.volume_part + self.below_fat * (part - self.volume_part)) / part
        };
        Cut { part, fat_part }
    }

    /// Depth to take off (part of the jar) so that what is left holds
    /// `fat_left`, mass fraction.
    ///
    /// `None` when there is nothing to skim: the jar holds no more than that
    /// already, or no cream has risen. When even the milk below the layer holds
    /// more, the depth of the whole layer.
    #[must_use]
    pub fn depth_leaving(&self, fat_left: f64) -> Option<f64> {
        let over = self.fat_part() - fat_left;
        if self.volume_part <= 0.0 || over <= 1e-12 {
            return None;
        }
        if self.below_fat >= fat_left {
            return Some(self.volume_part);
        }
        // Fat left: F − z·top + s·z²/2 = (1 − z)·L, the smaller root.
        let slope = self.slope();
        let lead = self.top_fat - fat_left;
        let root = (lead * lead - 2.0 * slope * over).max(0.0).sqrt();
        Some((2.0 * over / (lead + root)).min(self.volume_part))
    }

    /// The deepest cut whose mean fat is at least `mean_fat` (part of the jar);
    /// `None` when even the very top is below it.
    #[must_use]
    pub fn depth_of_grade(&self, mean_fat: f64) -> Option<f64> {
        if self.top_fat < mean_fat {
            return None;
        }
        if self.fat_part() >= mean_fat {
            return Some(1.0);
        }
        let layer = self.mean_fat();
        if layer >= mean_fat {
            let reach = (layer - self.below_fat) / (mean_fat - self.below_fat);
            return Some((self.volume_part * reach).min(1.0));
        }
        Some((2.0 * (self.top_fat - mean_fat) / self.slope()).min(self.volume_part))
    }

    /// Fall of fat per part of the jar inside the layer; 0 without a layer.
    fn slope(&self) -> f64 {
        if self.volume_part > 0.0 { (self.top_fat - self.bottom_fat) / self.volume_part } else { 0.0 }
    }
}

/// Part risen in cow's milk at 24 h: `0.95 · (1 − e^(−24/8))`, worked out.
const RISEN_COW_24H: f64 = 0.902_702_3;

fn loose(hours: f64) -> f64 {
    let mut before = LOOSE[0];
    for point in LOOSE {
        if hours < point.0 {
            let along = (hours - before.0).max(0.0) / (point.0 - before.0);
            return before.1 + (point.1 - before.1) * along;
        }
        before = point;
    }
    before.1
}

/// Grades of cream by fat, after the United States standards of identity.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Grade {
    /// Heavy cream: 36 % and over (21 CFR 131.150).
    Heavy,
    /// Light whipping cream: 30 to under 36 % (21 CFR 131.157).
    LightWhipping,
    /// Light, coffee or table cream: 18 to under 30 % (21 CFR 131.155).
    Light,
    /// Half-and-half: 10.5 to under 18 % (21 CFR 131.180).
    HalfAndHalf,
    /// Less than half-and-half: milk.
    Milk,
}

impl Grade {
    /// All grades, richest first.
    pub const ALL: [Self; 5] = [Self::Heavy, Self::LightWhipping, Self::Light, Self::HalfAndHalf, Self::Milk];

    /// Least fat of the grade, mass fraction.
    #[must_use]
    pub const fn least_fat(self) -> f64 {
        match self {
            Self::Heavy => 0.36,
            Self::LightWhipping => 0.30,
            Self::Light => 0.18,
            Self::HalfAndHalf => 0.105,
            Self::Milk => 0.0,
        }
    }

    /// Fat of the grade: from the first, to under the second, mass fractions.
    #[must_use]
    pub const fn bounds(self) -> (f64, f64) {
        let under = match self {
            Self::Heavy => 1.0,
            Self::LightWhipping => Self::Heavy.least_fat(),
            Self::Light => Self::LightWhipping.least_fat(),
            Self::HalfAndHalf => Self::Light.least_fat(),
            Self::Milk => Self::HalfAndHalf.least_fat(),
        };
        (self.least_fat(), under)
    }

    /// The grade of cream or milk of a given fat (mass fraction), with a slack
    /// of 1e-9 so that a cut made to a grade has that grade.
    #[must_use]
    pub fn of(fat_part: f64) -> Self {
        for grade in Self::ALL {
            if fat_part >= grade.least_fat() - 1e-9 {
                return grade;
            }
        }
        Self::Milk
    }
}

#[cfg(test)]
mod tests;
