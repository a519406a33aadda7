//! The bytes of a table as letters. Spreadsheets write UTF-8, often with a byte-order mark, or UTF-16 with one; what is
//! neither is refused with its row, since a name read wrongly is somebody else's name.

/// The letters of a table.
///
/// # Errors
/// In words, where the bytes are in none of these.
pub fn decoded(bytes: &[u8]) -> Result<String, String> {
    let wide = match bytes {
        [0xff, 0xfe, rest @ ..] => Some((rest, u16::from_le_bytes as fn([u8; 2]) -> u16)),
        [0xfe, 0xff, rest @ ..] => Some((rest, u16::from_be_bytes as fn([u8; 2]) -> u16)),
        _ => None,
    };
    if let Some((rest, unit)) = wide {
        let (pairs, left_over) = rest.as_chunks::<2>();
        let letters: Result<String, _> =
            char::decode_utf16(pairs.iter().map(|pair| unit(*pair))).collect();
        return match letters {
            Ok(letters) if left_over.is_empty() => Ok(letters),
            _ => Err(
                "begins as UTF-16 and does not go on as such: save the table once more, as CSV in UTF-8"
                    .into(),
            ),
        };
    }
    let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
    match std::str::from_utf8(bytes) {
        Ok(text) if text.contains('\0') => {
            Err("holds bytes that are no letters: save the table as CSV".into())
        }
        Ok(text) => Ok(text.to_owned()),
        Err(fault) => {
            let before = bytes.get(..fault.valid_up_to()).unwrap_or_default();
            let line = before.iter().filter(|byte| **byte == b'\n').count() + 1;
            Err(format!(
                "is not written in UTF-8: line {line} has a letter of an older alphabet. Save the table once more, as CSV in UTF-8"
            ))
        }
    }
}
