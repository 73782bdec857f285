//! Tests of [`super`].

use super::*;

fn field(path: &str, now: &str) -> Field {
    let now = (!now.is_empty()).then(|| now.to_owned());
    Field { path: path.into(), now, frugal: End::Smallest }
}

fn texts(path: &str, now: &str, set: &str) -> String {
    let all = settings(&field(path, now), set).map_err(|d| d.to_string());
    all.map_or_else(|e| e, |all| all.into_iter().map(|s| s.text).collect::<Vec<_>>().join(" | "))
}

#[test]
fn lists_and_ranges() {
    let mut wrong = Vec::new();
    let frozen = "routine.make frozen milk.when.have.frozen milk";
    for (path, now, set, found) in [
        ("household.people.child 4 to 8", "5", "0; 3; 5", "0 | 3 | 5"),
        ("household.people.child 4 to 8", "5", "0 to 9 by 3", "0 | 3 | 6 | 9"),
        ("household.people.child 4 to 8", "", "0 to 2 by 1", "0 | 1 | 2"),
        (
            "stores.f.like",
            "all-fridge 10 cu ft",
            "mini fridge 3 cu ft; all-fridge 10 cu ft",
            "mini fridge 3 cu ft | all-fridge 10 cu ft",
        ),
        (
            frozen,
            "under 22 gal",
            "10 gal to 40 gal by 10 gal",
            "under 10 gal | under 20 gal | under 30 gal | under 40 gal",
        ),
        (frozen, "under 22 gal", "10 to 20 by 5", "under 10 gal | under 15 gal | under 20 gal"),
        (frozen, "under 22 gal", "40 L; under 3 gal; none", "under 40 L | under 3 gal | none"),
        (
            "routine.skim.leave",
            "2.5 % fat",
            "2 % to 3 % by 0.25 %",
            "2 % fat | 2.25 % fat | 2.5 % fat | 2.75 % fat | 3 % fat",
        ),
        (
            "routine.skim.leave",
            "2.5 % fat",
            "2 % fat to 3 % fat by 0.5 % fat",
            "2 % fat | 2.5 % fat | 3 % fat",
        ),
        ("aims.m.at least", "at least 98 %", "90 %; 95 %", "at least 90 % | at least 95 %"),
        (
            "household.wants.butter",
            "1.5 lb/week",
            "1 lb/week to 2 lb/week by 0.5 lb/week",
            "1 lb/week | 1.5 lb/week | 2 lb/week",
        ),
        (
            "household.wants.butter",
            "1.5 lb/week",
            "0.1 to 0.4 by 0.1",
            "0.1 lb/week | 0.2 lb/week | 0.3 lb/week | 0.4 lb/week",
        ),
        ("routine.make butter.at most", "2 per week", "1; 3", "1 per week | 3 per week"),
        ("herd shares.fee", "36 $/month", "30 to 40 by 5", "30 $/month | 35 $/month | 40 $/month"),
        (
            "herd shares.fee",
            "36 $/month",
            "30 $/month to 40 $/month by 10 $/month",
            "30 $/month | 40 $/month",
        ),
        ("stores.f.at", "38 °F", "34 °F to 38 °F by 2 °F", "34 °F | 36 °F | 38 °F"),
        ("stores.f.at", "", "34 °F to 36 °F by 2", "34 °F | 36 °F"),
        (
            "animals.C.dry off",
            "60 days before",
            "50; 70 days; 40 days before",
            "50 days before | 70 days before | 40 days before",
        ),
        (
            "animals.C.freshens",
            "2027-04-12 give or take 6 days",
            "2027-03-01; 2027-05-01",
            "2027-03-01 give or take 6 days | 2027-05-01 give or take 6 days",
        ),
        (
            "animals.C.freshens",
            "2027-04-12",
            "2027-01-31 to 2027-04-30 by 1 month",
            "2027-01-31 | 2027-02-28 | 2027-03-31 | 2027-04-30",
        ),
        (
            "animals.C.freshens",
            "2027-04-12",
            "2027-03-01 to 2027-03-31 by 2 weeks",
            "2027-03-01 | 2027-03-15 | 2027-03-29",
        ),
        ("routine.skim.when.season", "may to nov", "apr to sep; may to nov", "apr to sep | may to nov"),
        ("risks.cleanliness", "ordinary", "careful; careless", "careful | careless"),
    ] {
        if texts(path, now, set) != found {
            wrong.push(format!("{path}: {now}: {set}: {}", texts(path, now, set)));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn faults_of_sets() {
    let people = ("household.people.child 4 to 8", "5");
    let frozen = ("routine.make frozen milk.when.have.frozen milk", "under 22 gal");
    for ((path, now), set, found) in [
        (people, "", "there are no values here"),
        (people, " ; ", "there are no values here"),
        (people, "9 to 0 by 1", "the range from `9` to `0` by `1` runs backwards"),
        (people, "0 to 9 by -1", "the range from `0` to `9` by `-1` runs backwards"),
        (people, "0 to 9 by 0", "the step `0` leads nowhere"),
        (people, "0 to 9", "the range `0 to 9` says no step (write `0 to 9 by …`)"),
        (people, "0 to 9 by some", "the step `some` is no number"),
        (people, "0 to 100000 by 1", "100001 values are too many (at most 100 can be tried"),
        (people, "0 to 1e300 by 1", "1000000001 values are too many"),
        (
            people,
            "10, 20, 30",
            "`10, 20, 30` is no single value of `household.people.child 4 to 8` (write values between semicolons: `10; 20; 30`)",
        ),
        (
            people,
            "0-20",
            "`0-20` is no single value of `household.people.child 4 to 8` (write a range with its step, such as `0 to 20 by 1`, ",
        ),
        (
            people,
            "0 .. 20",
            "`0 .. 20` is no single value of `household.people.child 4 to 8` (write a range with its step, such as `0 to 20 by 1`, ",
        ),
        (
            frozen,
            "10 gal, 20 gal",
            "`10 gal, 20 gal` is no single value of `routine.make frozen milk.when.have.frozen milk` (write values between semicolons: `10 gal; 20 gal`)",
        ),
        (people, "3; 5; 3", "the value `3` stands here twice"),
        (
            people,
            "0 gal to 3 gal by 1 gal",
            "`0 gal` does not fit `household.people.child 4 to 8`, where `5` stands (its number has no unit",
        ),
        (frozen, "10 lb to 40 lb by 10 lb", "`10 lb` does not fit `routine"),
        (frozen, "10 gal to 40 L by 10 gal", "this range is written in `gal` and in `L`"),
        (
            ("stores.f.like", "all-fridge 10 cu ft"),
            "5 cu ft to 10 cu ft by 1 cu ft",
            "`stores.f.like` is a name and has no range",
        ),
        (
            ("animals.C.freshens", "2027-04-12"),
            "2027-01-01 to 2027-03-01 by 5 gal",
            "the range from `2027-01-01` to `2027-03-01` says no step in days",
        ),
        (
            ("animals.C.freshens", "2027-04-12"),
            "2027-01-01 to 2029-03-01 by 1 day",
            "791 values are too many",
        ),
    ] {
        let told = texts(path, now, set);
        assert!(told.starts_with(found), "{path}: {set}: {told}");
    }
    let many: Vec<String> = (0..150).map(|n| n.to_string()).collect();
    assert!(texts(people.0, people.1, &many.join(";")).starts_with("150 values are too many"));
}

#[test]
fn values_are_in_order_whatever_their_units() {
    let values = |path: &str, now: &str, set: &str| -> Vec<Option<f64>> {
        settings(&field(path, now), set).unwrap().into_iter().map(|s| s.value).collect()
    };
    let sizes = values("jars.x.holds", "1 L", "500 mL; 1 qt; 1 L");
    assert!(sizes[0] < sizes[1] && sizes[1] < sizes[2], "{sizes:?}");
    assert_eq!(values("risks.cleanliness", "ordinary", "careful; careless"), [None, None]);
    assert_eq!(values("x", "5", "none; 3"), [Some(0.0), Some(3.0)]);
}
