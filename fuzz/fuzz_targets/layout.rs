#![no_main]

#[path = "../../tests/command/hammer/layout.rs"]
mod layout;

libfuzzer_sys::fuzz_target!(|input: &[u8]| layout::check(input));
