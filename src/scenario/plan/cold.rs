//! How milk is chilled, and what happens without power.

use super::ItemMask;

/// Water before the fridge, outages, and the stores' machines.
#[derive(Clone, Debug, Default)]
pub struct ColdPlan {
    /// Jars stand in water before they go into the fridge.
    pub soak: Option<SoakPlan>,
    /// Power outages.
    pub outages: Option<OutagePlan>,
    /// Machines by store, as [`super::PlacePlan::store`] counts them; none for
    /// what needs no power. May be shorter than the stores.
    pub machines: Vec<Option<MachinePlan>>,
    /// Electricity that the stores use together, kWh a day; none where no store says so.
    pub energy_kwh: Option<f64>,
}

/// Power outages.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OutagePlan {
    /// How many a day.
    pub rate: f64,
    /// Mean length, h; single ones are exponential about it.
    pub hours: f64,
    /// What stood too warm is discarded.
    pub discard: bool,
    /// What is discarded then: perishable dairy.
    pub perishable: ItemMask,
}

/// A machine that cools a store.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MachinePlan {
    /// It freezes.
    pub freezer: bool,
    /// Temperature kept, °C, by month.
    pub set_c: [f64; 12],
    /// Surroundings, °C, by month.
    pub room_c: [f64; 12],
    /// Cooling power to spare, W, by month.
    pub spare_w: [f64; 12],
    /// Heat leak, W/K.
    pub ua: f64,
    /// Heat held by walls and by other food, kJ/K, by month.
    pub kj_k: [f64; 12],
}

/// Jars stand in water before they go into the fridge.
#[derive(Clone, Debug)]
pub struct SoakPlan {
    /// Ice is put into it; otherwise it is running water.
    pub ice: Option<IcePlan>,
    /// Ice for a litre of milk, kg, ascending; one entry for running water.
    pub ice_per_l: Vec<f64>,
    /// What comes of it, one entry for each of those.
    pub cells: Vec<SoakCell>,
}

/// What comes of a stay in water.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct SoakCell {
    /// Temperature at its end, °C.
    pub end_c: f64,
    /// How long it lasts, h.
    pub hours: f64,
    /// Hours to 10 °C, to 7 and to 4.4 °C; the whole stay when not within it.
    pub hours_to: [f64; 3],
    /// Days of sweet life at 4 °C used.
    pub life_days: f64,
}

/// Ice.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct IcePlan {
    /// Put in at a milking, kg; `None`: as much as it takes.
    pub each_kg: Option<f64>,
    /// What it takes for a litre of milk, kg.
    pub wanted_kg_l: f64,
    /// Made a day, kg.
    pub made_kg: f64,
    /// Most that is kept, kg.
    pub kept_kg: f64,
}

impl SoakPlan {
    /// What comes of so much ice for a litre of milk.
    #[must_use]
    pub fn at(&self, ice_per_l: f64) -> SoakCell {
        let (low, part) = cell(&self.ice_per_l, ice_per_l);
        let a = self.cells.get(low).copied().unwrap_or_default();
        let b = self.cells.get(low + 1).copied().unwrap_or(a);
        let mix = |a: f64, b: f64| a + (b - a) * part;
        SoakCell {
            end_c: mix(a.end_c, b.end_c),
            hours: a.hours,
            hours_to: std::array::from_fn(|i| mix(a.hours_to[i], b.hours_to[i])),
            life_days: mix(a.life_days, b.life_days),
        }
    }
}

/// Chilling of a warm load, by month, by its temperature, by its litres and by
/// the litres already inside.
#[derive(Clone, Debug)]
pub struct ChillTable {
    /// Which of the layers holds in each month.
    pub by_month: [u8; 12],
    /// Temperatures of the load, °C, ascending.
    pub starts_c: Vec<f64>,
    /// Loads, L, ascending.
    pub loads_l: Vec<f64>,
    /// Milk already inside, L, ascending.
    pub inside_l: Vec<f64>,
    /// Layer by layer, start by start, load by load.
    pub cells: Vec<ChillCell>,
}

/// One chilling.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct ChillCell {
    /// Hours to 10 °C, to 7 and to 4.4 °C.
    pub hours_to: [f64; 3],
    /// Days of sweet life at 4 °C used while chilling, beyond what the same
    /// time at the place's own temperature uses.
    pub life_days: f64,
    /// The same for what stood inside already.
    pub neighbour_days: f64,
}

impl ChillCell {
    fn plus(&mut self, other: &Self, part: f64) {
        for (a, b) in self.hours_to.iter_mut().zip(other.hours_to) {
            *a += b * part;
        }
        self.life_days += other.life_days * part;
        self.neighbour_days += other.neighbour_days * part;
    }
}

impl ChillTable {
    /// What a load of a temperature (°C) among so many litres comes to;
    /// outside the table its edge holds.
    #[must_use]
    pub fn at(&self, month: usize, start_c: f64, load_l: f64, inside_l: f64) -> ChillCell {
        let (rows, columns) = (self.loads_l.len(), self.inside_l.len());
        let layer = usize::from(self.by_month[month % 12]) * self.starts_c.len();
        let (start, deep) = cell(&self.starts_c, start_c);
        let (row, down) = cell(&self.loads_l, load_l);
        let (column, along) = cell(&self.inside_l, inside_l);
        let mut out = ChillCell::default();
        for (i, s) in [(start, 1.0 - deep), (start + 1, deep)] {
            for (j, r) in [(row, 1.0 - down), (row + 1, down)] {
                for (k, c) in [(column, 1.0 - along), (column + 1, along)] {
                    let part = s * r * c;
                    if part > 0.0
                        && let Some(one) = self.cells.get(((layer + i) * rows + j) * columns + k)
                    {
                        out.plus(one, part);
                    }
                }
            }
        }
        out
    }
}

/// The interval of ascending `grid` that holds `x`, and how far into it (0 to 1).
fn cell(grid: &[f64], x: f64) -> (usize, f64) {
    let at = grid.partition_point(|&g| g <= x);
    if at == 0 || grid.len() < 2 {
        return (0, 0.0);
    }
    let low = (at - 1).min(grid.len() - 2);
    (low, ((x - grid[low]) / (grid[low + 1] - grid[low])).clamp(0.0, 1.0))
}
