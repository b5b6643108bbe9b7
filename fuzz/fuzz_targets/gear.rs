#![no_main]

#[path = "../../tests/command/hammer/gear.rs"]
mod gear;

libfuzzer_sys::fuzz_target!(|input: &[u8]| gear::check(input));
