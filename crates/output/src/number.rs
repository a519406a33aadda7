//! The one place where figures are written for machines. Every writer takes its digits from here, so that the same
//! pattern gives the same bytes everywhere: fixed decimals, no minus zero, nothing that is not a number.
//!
//! Trigonometry differs between platforms in the last digits of a double (about 1e-13 at 1 m). Four decimals of a
//! millimetre stand nine orders above that, and a hundred times below what a plotter can draw.

use std::fmt::Write;

/// Decimals of a millimetre in exchange files.
pub const MM_DECIMALS: usize = 4;
/// Decimals of a degree.
pub const DEGREE_DECIMALS: usize = 4;
/// Decimals of a square millimetre.
pub const AREA_DECIMALS: usize = 2;
/// Decimals of a plain number.
pub const NUMBER_DECIMALS: usize = 6;
/// Decimals of a millimetre in drawings for the eye.
pub(crate) const DRAWING_DECIMALS: usize = 3;

/// Beyond this nothing is cloth; figures are held to it so that they keep their decimals.
const LARGEST: f64 = 1e9;

/// `value` to so many decimals, as a number. Not a number becomes 0 and an infinity the largest figure kept: a
/// [`Pattern`](oaktag_language::pattern::Pattern) holds neither, so this is a lock on the door, not a way in.
pub fn rounded(value: f64, decimals: usize) -> f64 {
    if value.is_nan() {
        return 0.0;
    }
    let scale = 10f64.powi(i32::try_from(decimals).unwrap_or(9).min(9));
    let held = value.clamp(-LARGEST, LARGEST);
    let result = (held * scale).round() / scale;
    if result == 0.0 { 0.0 } else { result }
}

/// `value` with exactly so many decimals: `-0.5000`, `12.0000`.
pub fn fixed(value: f64, decimals: usize) -> String {
    let mut text = String::with_capacity(16);
    push(&mut text, value, decimals);
    text
}

/// `value` with at most so many decimals, without zeros at the end: `-0.5`, `12`.
pub fn short(value: f64, decimals: usize) -> String {
    let mut text = String::with_capacity(16);
    push_short(&mut text, value, decimals);
    text
}

/// As [`short`], behind what is written already.
pub(crate) fn push_short(text: &mut String, value: f64, decimals: usize) {
    let before = text.len();
    push(text, value, decimals);
    let written = text.get(before..).unwrap_or("");
    if written.contains('.') {
        let kept = written.trim_end_matches('0').trim_end_matches('.').len();
        text.truncate(before + kept);
    }
}

/// More decimals than this leave whole numbers that a double cannot hold.
const WHOLE_DECIMALS: usize = 6;

/// Behind what is written already. A drawing is mostly figures, so they are written digit by digit.
fn push(text: &mut String, value: f64, decimals: usize) {
    if decimals > WHOLE_DECIMALS || !value.is_finite() {
        let value = rounded(value, decimals);
        let _ = write!(text, "{value:.decimals$}");
        return;
    }
    let scale = 10u64.pow(decimals as u32) as f64;
    let whole = (value.clamp(-LARGEST, LARGEST) * scale).round();
    let mut left = whole.abs() as u64;
    let mut digits = [b'0'; 24];
    let mut at = digits.len();
    let mut count = 0;
    while left > 0 || count <= decimals {
        if count == decimals && decimals > 0 {
            at -= 1;
            set(&mut digits, at, b'.');
        }
        at -= 1;
        set(&mut digits, at, b'0' + (left % 10) as u8);
        left /= 10;
        count += 1;
    }
    if whole < 0.0 {
        text.push('-');
    }
    let written = digits.get(at..).unwrap_or(&[]);
    text.push_str(std::str::from_utf8(written).unwrap_or(""));
}

fn set(digits: &mut [u8; 24], at: usize, digit: u8) {
    if let Some(place) = digits.get_mut(at) {
        *place = digit;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn zero_has_no_sign() {
        assert_eq!(fixed(-0.0, 3), "0.000");
        assert_eq!(fixed(-0.0004, 3), "0.000");
        assert_eq!(short(-0.0004, 3), "0");
        assert_eq!(rounded(-0.00001, 4).to_bits(), 0f64.to_bits());
    }

    #[test]
    fn zeros_at_the_end_go_and_others_stay() {
        assert_eq!(short(100.0, 4), "100");
        assert_eq!(short(10.25, 4), "10.25");
        assert_eq!(short(10.0, 0), "10");
        assert_eq!(fixed(10.0, 2), "10.00");
    }

    /// As the standard library writes the rounded number.
    #[test]
    fn digits_are_those_of_the_standard_library() {
        let mut value = 1e-7f64;
        while value < 2e9 {
            for signed in [value, -value, value.round(), (value * 8.0).round() / 8.0] {
                for decimals in 0..=9 {
                    let wanted = format!("{:.decimals$}", rounded(signed, decimals));
                    assert_eq!(fixed(signed, decimals), wanted);
                }
            }
            value *= 1.0173;
        }
    }

    #[test]
    fn what_is_no_number_is_never_written() {
        for value in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, 1e300, -1e300] {
            let text = fixed(value, 4);
            assert!(
                text.chars()
                    .all(|c| c.is_ascii_digit() || c == '.' || c == '-'),
                "{text}"
            );
        }
    }
}
