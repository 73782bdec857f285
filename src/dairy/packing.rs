//! How many round jars stand on a shelf.

/// Steps that come out a hair short of a whole number are whole: three jars of
/// 10 cm fit 30 cm, whatever binary rounding makes of it.
const SLACK: f64 = 1e-9;

/// How the jars of a shelf stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Pattern {
    /// Straight rows and files.
    Square,
    /// Rows set into the gaps of the row before.
    Staggered,
}

/// What keeps another jar off the shelf.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Limit {
    /// No floor left.
    Area,
    /// The shelf bears no more.
    Load,
    /// The jar is taller than the clear height: none stands there.
    Height,
}

/// A shelf.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Shelf {
    /// Width, m.
    pub width_m: f64,
    /// Depth, m.
    pub depth_m: f64,
    /// Clear height, m.
    pub clear_m: f64,
    /// Load it bears, kg; infinite if unknown.
    pub load_kg: f64,
}

/// A round jar.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Jar {
    /// Outer diameter, m; > 0.
    pub across_m: f64,
    /// Height with its lid, m; > 0.
    pub height_m: f64,
    /// Mass when full, kg; ≥ 0.
    pub filled_kg: f64,
}

/// How many jars stand on a shelf, and why no more.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Fit {
    /// Jars, in one tier.
    pub count: u32,
    /// What keeps the next jar off.
    pub limited_by: Limit,
    /// How they stand.
    pub pattern: Pattern,
}

/// Circles of `diameter` in one layer on `width` by `depth`, all in one unit:
/// the most of straight rows and of staggered rows either way. A lower bound on
/// the best possible: clever packings of some sizes hold one or two more
/// (Lubachevsky and Graham 2004). 0 when nothing fits or a size is not a
/// positive number.
fn best(width: f64, depth: f64, diameter: f64) -> (u32, Pattern) {
    let square = square(width, depth, diameter);
    let staggered = staggered(width, depth, diameter).max(staggered(depth, width, diameter));
    if staggered > square { (staggered, Pattern::Staggered) } else { (square, Pattern::Square) }
}

/// Straight rows of touching circles.
#[must_use]
pub fn square(width: f64, depth: f64, diameter: f64) -> u32 {
    steps(width / diameter).saturating_mul(steps(depth / diameter))
}

/// Staggered rows of touching circles, rows along the width.
#[must_use]
pub fn staggered(width: f64, depth: f64, diameter: f64) -> u32 {
    let long = steps(width / diameter);
    if long == 0 || steps(depth / diameter) == 0 {
        return 0;
    }
    let short = steps(width / diameter - 0.5);
    let rows = 1 + steps((depth / diameter - 1.0) / (0.5 * 3f64.sqrt()));
    rows.div_ceil(2).saturating_mul(long).saturating_add((rows / 2).saturating_mul(short))
}

/// Whole steps in a ratio; 0 for what is no positive number.
fn steps(ratio: f64) -> u32 {
    // `as` saturates and turns NaN into 0.
    (ratio + SLACK * (1.0 + ratio.abs())).floor() as u32
}

/// Jars of one size on a shelf, one tier: glass jars are not stacked.
#[must_use]
pub fn fit(shelf: &Shelf, jar: &Jar) -> Fit {
    let (floor, pattern) = best(shelf.width_m, shelf.depth_m, jar.across_m);
    if steps(shelf.clear_m / jar.height_m) == 0 {
        return Fit { count: 0, limited_by: Limit::Height, pattern };
    }
    let bears = if jar.filled_kg > 0.0 { steps(shelf.load_kg / jar.filled_kg) } else { u32::MAX };
    let limited_by = if bears < floor { Limit::Load } else { Limit::Area };
    Fit { count: floor.min(bears), limited_by, pattern }
}

#[cfg(test)]
mod tests {
    use super::*;

    const SHELF: Shelf = Shelf { width_m: 0.6, depth_m: 0.35, clear_m: 0.28, load_kg: f64::INFINITY };
    const JAR: Jar = Jar { across_m: 0.1, height_m: 0.2, filled_kg: 1.4 };

    fn per_layer(width: f64, depth: f64, across: f64) -> u32 {
        best(width, depth, across).0
    }

    #[test]
    fn exact_multiples_are_whole() {
        // 0.3 / 0.1 is a hair under 3 in binary.
        assert_eq!(per_layer(0.3, 0.7, 0.1), 21);
        assert_eq!(per_layer(0.1, 0.1, 0.1), 1);
        assert_eq!(per_layer(0.3 - 1e-6, 0.1, 0.1), 2);
    }

    #[test]
    fn what_does_not_fit_is_none() {
        assert_eq!(per_layer(0.09, 1.0, 0.1), 0);
        assert_eq!(per_layer(1.0, 0.09, 0.1), 0);
        for bad in [f64::NAN, -1.0, 0.0] {
            assert_eq!(per_layer(bad, 1.0, 0.1), 0);
        }
        assert_eq!(per_layer(1.0, 1.0, f64::NAN), 0);
    }

    #[test]
    fn staggered_rows_lose_half_a_place_when_tight() {
        // Three places wide: the rows between hold two; with half a place more, three.
        assert_eq!(staggered(3.0, 1.9, 1.0), 5);
        assert_eq!(staggered(3.5, 1.9, 1.0), 6);
        assert_eq!(staggered(3.0, 1.86, 1.0), 3);
    }

    #[test]
    fn turning_the_shelf_changes_nothing() {
        for w in 1..30u32 {
            for d in 1..30u32 {
                let (w, d) = (f64::from(w) * 0.037, f64::from(d) * 0.041);
                assert_eq!(per_layer(w, d, 0.117), per_layer(d, w, 0.117));
                let more = per_layer(w + 0.05, d, 0.117);
                assert!(more >= per_layer(w, d, 0.117));
            }
        }
    }

    #[test]
    fn limits_are_named() {
        let area = fit(&SHELF, &JAR);
        assert_eq!((area.count, area.limited_by), (18, Limit::Area));
        assert_eq!(area.pattern, Pattern::Square);
        let three_rows = fit(&Shelf { depth_m: 0.28, ..SHELF }, &JAR);
        assert_eq!((three_rows.count, three_rows.pattern), (17, Pattern::Staggered));
        let load = fit(&Shelf { load_kg: 14.0, ..SHELF }, &JAR);
        assert_eq!((load.count, load.limited_by), (10, Limit::Load));
        let height = fit(&Shelf { clear_m: 0.199, ..SHELF }, &JAR);
        assert_eq!((height.count, height.limited_by), (0, Limit::Height));
        assert_eq!(fit(&Shelf { clear_m: 0.2, ..SHELF }, &JAR).count, 18);
        assert_eq!(fit(&Shelf { load_kg: 0.0, ..SHELF }, &JAR).count, 0);
        assert_eq!(fit(&Shelf { width_m: 0.05, ..SHELF }, &JAR).count, 0);
    }

    #[test]
    fn glass_is_not_stacked() {
        assert_eq!(fit(&Shelf { clear_m: 0.65, ..SHELF }, &JAR).count, 18);
    }
}
