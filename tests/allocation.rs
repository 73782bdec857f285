//! The day loop allocates nothing: not when it draws its luck, not in a day.
//!
//! Queues of lots grow until they have once held the longest stock that a
//! scenario brings about; they keep their room from trial to trial. So a few
//! trials go before, and those that follow must ask for no memory at all.

use allocation_counter::measure;
use springhouse::scenario;
use springhouse::sim::{DayLog, Luck, Trial};

const WARM_UP: u32 = 40;
const COUNTED: u32 = 40;

/// Allocations of the counted trials, trial by trial, of a scenario.
fn allocations(text: &str) -> Vec<u64> {
    let compiled = scenario::compile(text.as_bytes()).expect("the scenario is sound");
    let plan = &compiled.plan;
    let mut luck = Luck::new(plan, &compiled.names);
    let (mut log, mut trial) = (DayLog::new(plan), Trial::new(plan));
    let mut one = |t: u32| {
        let info = measure(|| {
            luck.draw(7, t);
            trial.run(&luck, &mut log);
        });
        info.count_total
    };
    let warm: u64 = (0..WARM_UP).map(&mut one).sum();
    assert!(warm > 0, "the counter sees the queues grow in the first trials");
    (WARM_UP..WARM_UP + COUNTED).map(one).collect()
}

/// Neither draws nor days allocate, on one thread, after the first trials.
#[test]
fn a_trial_allocates_nothing() {
    for text in [
        include_str!("../scenarios/first-cow.yaml"),
        include_str!("../scenarios/two-does.yaml"),
        include_str!("../scenarios/weekly-pickup.yaml"),
    ] {
        assert_eq!(allocations(text), vec![0; COUNTED as usize]);
    }
}
