//! Scales and their lines: days along, amounts up.

use maud::{Markup, html};

use super::{count, n};
use crate::report::dates::Span;

/// The days of a run.
#[derive(Clone, Debug)]
pub struct Days {
    span: Span,
    /// How many.
    pub count: usize,
}

/// A calendar month, or what a run holds of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Month {
    /// First day of it in the run.
    pub from: usize,
    /// The day after its last.
    pub to: usize,
    /// `May 2027`.
    pub name: String,
    /// 1 to 12.
    pub number: i8,
    /// Year.
    pub year: i16,
}

impl Month {
    /// `May 2027`, at most eight characters.
    pub fn short(&self) -> String {
        match self.number {
            0 => self.name.clone(),
            m => format!("{} {}", month_name(m).chars().take(3).collect::<String>(), self.year),
        }
    }
}

impl Days {
    /// Of a calendar.
    #[must_use]
    pub fn new(span: &Span) -> Self {
        Self { span: span.clone(), count: usize::try_from(span.days()).unwrap_or(0).max(1) }
    }

    /// `12 May 2027`.
    pub(super) fn words(&self, day: usize) -> String {
        self.span.day_words(day)
    }

    /// Day of the month, 1 to 31; 1 where the calendar is unknown.
    pub(super) fn day_of_month(&self, day: usize) -> usize {
        self.span.date(day).and_then(|d| usize::try_from(d.day()).ok()).unwrap_or(1)
    }

    pub(super) fn months(&self) -> Vec<Month> {
        let mut out: Vec<Month> = Vec::new();
        for day in 0..self.count {
            let Some(date) = self.span.date(day) else { break };
            match out.last_mut().filter(|m| m.number == date.month() && m.year == date.year()) {
                Some(month) => month.to = day + 1,
                None => out.push(Month {
                    from: day,
                    to: day + 1,
                    name: format!("{} {}", month_name(date.month()), date.year()),
                    number: date.month(),
                    year: date.year(),
                }),
            }
        }
        if out.is_empty() {
            out.push(Month { from: 0, to: self.count, name: "all days".into(), number: 0, year: 0 });
        }
        out
    }
}

pub(super) fn month_name(number: i8) -> &'static str {
    usize::try_from(number - 1).ok().and_then(|i| crate::calendar::MONTHS.get(i)).copied().unwrap_or("")
}

/// A frame with days along and amounts up.
pub(super) struct Frame<'a> {
    pub left: f64,
    pub top: f64,
    pub width: f64,
    pub height: f64,
    pub days: &'a Days,
    /// Amount at the top.
    pub most: f64,
}

impl Frame<'_> {
    /// Left edge of a day.
    pub fn x(&self, day: usize) -> f64 {
        self.left + self.width * count(day) / count(self.days.count)
    }

    /// Middle of a day.
    pub fn mid(&self, day: usize) -> f64 {
        self.x(day) + 0.5 * self.width / count(self.days.count)
    }

    pub fn y(&self, v: f64) -> f64 {
        let part = if self.most > 0.0 { (v / self.most).clamp(0.0, 1.0) } else { 0.0 };
        self.top + self.height * (1.0 - part)
    }

    fn bottom(&self) -> f64 {
        self.top + self.height
    }

    /// Days that are drawn: at most two to a pixel and a half.
    fn steps(&self) -> impl Iterator<Item = usize> {
        let every = (count(self.days.count) / self.width * 1.5).ceil().max(1.0) as usize;
        let last = self.days.count - 1;
        (0..self.days.count).step_by(every).chain((!last.is_multiple_of(every)).then_some(last))
    }

    /// The path of a line.
    pub fn line(&self, value: impl Fn(usize) -> f64) -> String {
        let mut out = String::new();
        for (i, d) in self.steps().enumerate() {
            out.push_str(if i == 0 { "M" } else { "L" });
            out.push_str(&format!("{} {}", n(self.mid(d)), n(self.y(value(d)))));
        }
        out
    }

    /// The path of an area between two lines.
    pub fn area(&self, low: impl Fn(usize) -> f64, high: impl Fn(usize) -> f64) -> String {
        let mut out = self.line(high);
        let days: Vec<usize> = self.steps().collect();
        for d in days.into_iter().rev() {
            out.push_str(&format!("L{} {}", n(self.mid(d)), n(self.y(low(d)))));
        }
        out.push('Z');
        out
    }

    /// Lines and numbers of the amounts.
    pub fn amounts(&self, most_ticks: f64) -> Markup {
        let step = tick(self.most, most_ticks);
        html! {
            @for i in 0..20_u32 {
                @let v = step * f64::from(i);
                @if v <= self.most * (1.0 + 1e-9) {
                    line.grid x1=(n(self.left)) x2=(n(self.left + self.width)) y1=(n(self.y(v))) y2=(n(self.y(v))) {}
                    text.soft.small.end x=(n(self.left - 6.0)) y=(n(self.y(v) + 4.0)) { (crate::report::amounts::number(v)) }
                }
            }
        }
    }

    /// Months and years under the frame.
    pub fn calendar(&self) -> Markup {
        let months = self.days.months();
        let narrow = self.width / count(months.len()) < 30.0;
        html! {
            line.axis x1=(n(self.left)) x2=(n(self.left + self.width)) y1=(n(self.bottom())) y2=(n(self.bottom())) {}
            @for m in &months {
                @let (a, b) = (self.x(m.from), self.x(m.to));
                line.axis x1=(n(a)) x2=(n(a)) y1=(n(self.bottom())) y2=(n(self.bottom() + if m.number == 1 { 34.0 } else { 5.0 })) {}
                @if b - a > 9.0 {
                    text.soft.small.mid x=(n(f64::midpoint(a, b))) y=(n(self.bottom() + 16.0)) {
                        (month_name(m.number).chars().take(if narrow { 1 } else { 3 }).collect::<String>())
                    }
                }
            }
            @for (i, m) in months.iter().enumerate() {
                @if m.year > 0 && (i == 0 && !(months.len() > 2 && (months[1].number == 1 || months[2].number == 1)) || i > 0 && m.number == 1 && months.len() - i > 1) {
                    text.soft.small x=(n(self.x(m.from) + 4.0)) y=(n(self.bottom() + 33.0)) { (m.year) }
                }
            }
        }
    }

    /// Columns where nothing comes in.
    pub fn dry(&self, dry: &[(usize, usize)]) -> Markup {
        html! {
            @for (a, b) in dry {
                rect.dry x=(n(self.x(*a))) width=(n(self.x(*b + 1) - self.x(*a))) y=(n(self.top)) height=(n(self.height)) {}
            }
        }
    }
}

/// A round step, so that at most `ticks` of them reach `most`.
fn tick(most: f64, ticks: f64) -> f64 {
    if most <= 0.0 || !most.is_finite() {
        return 1.0;
    }
    let rough = most / ticks;
    let unit = 10_f64.powf(rough.log10().floor());
    [1.0, 2.0, 5.0, 10.0].into_iter().map(|f| f * unit).find(|s| *s >= rough * (1.0 - 1e-9)).unwrap_or(rough)
}

/// The next round amount at or above.
pub(super) fn round_up(most: f64) -> f64 {
    if most <= 0.0 || !most.is_finite() {
        return 1.0;
    }
    let step = tick(most, 5.0);
    (most / step - 1e-9).ceil() * step
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ticks_are_round_and_few() {
        assert_eq!((tick(9.0, 5.0), tick(100.0, 5.0), tick(0.0, 5.0)), (2.0, 20.0, 1.0));
        assert_eq!((round_up(9.0), round_up(10.0), round_up(0.0)), (10.0, 10.0, 1.0));
    }

    #[test]
    fn a_run_is_cut_into_its_months() {
        let days = Days::new(&Span::new("2027-12-30", 35));
        let months = days.months();
        let spans: Vec<_> = months.iter().map(|m| (m.from, m.to, m.name.as_str())).collect();
        assert_eq!(spans, [(0, 2, "December 2027"), (2, 33, "January 2028"), (33, 35, "February 2028")]);
        assert_eq!(Days::new(&Span::new("nonsense", 3)).months().len(), 1);
    }
}
