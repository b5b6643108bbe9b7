//! Layout files: any text is refused with its faults or gives a table with balls that passes the
//! same checks again.

use std::sync::LazyLock;

use thincut::gear::Gear;
use thincut::layout::Layout;

static GEAR: LazyLock<Gear> = LazyLock::new(|| Gear::preset("pool-9ft").expect("embedded"));

/// One input.
pub(crate) fn check(input: &[u8]) {
    let Ok(text) = std::str::from_utf8(input) else {
        return;
    };
    match Layout::parse(text, &GEAR) {
        Err(error) => assert!(!error.problems.is_empty() && !error.to_string().is_empty()),
        Ok(layout) => {
            let again = Layout::new(&GEAR, layout.cue, layout.balls.clone());
            assert!(again.is_ok(), "{again:?}");
            let back = layout.mirrored(&GEAR).mirrored(&GEAR);
            assert_eq!(back.balls.len(), layout.balls.len());
        }
    }
}
