//! Layout files: any text is refused with its faults or gives a table with balls that passes the
//! same checks again.

#![no_main]

use std::sync::LazyLock;

use libfuzzer_sys::fuzz_target;
use thincut::gear::Gear;
use thincut::layout::Layout;

static GEAR: LazyLock<Gear> = LazyLock::new(|| Gear::preset("pool-9ft").expect("embedded"));

fuzz_target!(|text: &str| {
    match Layout::parse(text, &GEAR) {
        Err(error) => assert!(!error.problems.is_empty() && !error.to_string().is_empty()),
        Ok(layout) => {
            let again = Layout::new(&GEAR, layout.cue, layout.balls.clone());
            assert!(again.is_ok(), "{again:?}");
            let back = layout.mirrored(&GEAR).mirrored(&GEAR);
            assert_eq!(back.balls.len(), layout.balls.len());
        }
    }
});
