//! The day loop allocates nothing: not while luck is drawn, not in a day.
//!
//! The one thing that grows is the room of a queue of lots: it doubles when a
//! stock is longer than any before, and is kept from trial to trial. So the
//! same trials are run twice. The second time, on buffers that have seen
//! them, they must ask for no memory at all. Trials not seen before may make a
//! queue grow, now and then: in a tenth of them at the most.

use allocation_counter::measure;
use springhouse::scenario;
use springhouse::sim::{DayLog, Luck, Trial};

const TRIALS: u32 = 40;

fn shipped() -> Vec<(String, String)> {
    let dir = concat!(env!("CARGO_MANIFEST_DIR"), "/scenarios");
    let mut files: Vec<_> = std::fs::read_dir(dir)
        .expect("the scenarios")
        .map(|e| e.expect("a file").path())
        .filter(|p| p.extension().is_some_and(|x| x == "yaml"))
        .map(|p| (p.display().to_string(), std::fs::read_to_string(&p).expect("text")))
        .collect();
    files.sort();
    assert!(files.len() >= 10);
    files
}

/// Every shipped scenario. Neither draws nor days allocate, on one thread.
#[test]
fn a_trial_allocates_nothing() {
    for (name, text) in shipped() {
        let compiled = scenario::compile(text.as_bytes()).expect("the scenario is sound");
        let plan = &compiled.plan;
        let mut luck = Luck::new(plan, &compiled.names);
        let (mut log, mut trial) = (DayLog::new(plan), Trial::new(plan));
        let mut count = |trials: std::ops::Range<u32>| {
            let run = |t| {
                luck.draw(7, t);
                trial.run(&luck, &mut log);
            };
            measure(|| trials.for_each(run)).count_total
        };
        assert!(count(0..TRIALS) > 0, "{name}: the counter sees the queues grow at first");
        assert_eq!(count(0..TRIALS), 0, "{name}: trials seen before");
        let grown = count(TRIALS..2 * TRIALS);
        assert!(grown <= u64::from(TRIALS / 10), "{name}: {grown} allocations in {TRIALS} new trials");
        assert_eq!(count(TRIALS..2 * TRIALS), 0, "{name}: and those, once seen");
    }
}
