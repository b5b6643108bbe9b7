#![no_main]

#[path = "../../tests/command/hammer/quantities.rs"]
mod quantities;

libfuzzer_sys::fuzz_target!(|input: &[u8]| quantities::check(input));
