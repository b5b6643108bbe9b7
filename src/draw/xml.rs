//! What a file of marks is written with: numbers and safe text.

use crate::units::decimals;

/// At most three decimals, no trailing zeros, no minus zero.
pub(crate) fn num(value: f64) -> String {
    decimals(value, 3)
}

/// Text or attribute content made safe; characters XML forbids are dropped.
pub(crate) fn escape(s: &str) -> String {
    let mut out = String::with_capacity(s.len());
    for c in s.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\t' | '\n' | '\r' => out.push(' '),
            c if (c as u32) < 0x20 || matches!(c, '\u{FFFE}' | '\u{FFFF}') => {}
            c => out.push(c),
        }
    }
    out
}
