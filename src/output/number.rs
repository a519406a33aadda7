//! The one place where figures are written for machines. Every writer takes its digits from here, so that the same
//! pattern gives the same bytes everywhere: fixed decimals, no minus zero, nothing that is not a number.
//!
//! Trigonometry differs between platforms in the last digits of a double (about 1e-13 at 1 m). Four decimals of a
//! millimetre stand nine orders above that, and a hundred times below what a plotter can draw.

/// Decimals of a millimetre in exchange files.
pub const MM_DECIMALS: usize = 4;
/// Decimals of a degree.
pub const DEGREE_DECIMALS: usize = 4;
/// Decimals of a square millimetre.
pub const AREA_DECIMALS: usize = 2;
/// Decimals of a plain number.
pub const NUMBER_DECIMALS: usize = 6;
/// Decimals of a millimetre in drawings for the eye.
pub const DRAWING_DECIMALS: usize = 3;

/// Beyond this nothing is cloth; figures are held to it so that they keep their decimals.
const LARGEST: f64 = 1e9;

/// `value` to so many decimals, as a number. Not a number becomes 0 and an infinity the largest figure kept: a
/// [`Pattern`](crate::pattern::Pattern) holds neither, so this is a lock on the door, not a way in.
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
    format!("{:.decimals$}", rounded(value, decimals))
}

/// `value` with at most so many decimals, without zeros at the end: `-0.5`, `12`.
pub fn short(value: f64, decimals: usize) -> String {
    let text = fixed(value, decimals);
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
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
