//! Whether a result is whole, by readers that share no code with the writers.

/// Whether it can be read to its end; else why not.
pub fn is_whole(ending: &str, bytes: &[u8]) -> Result<(), String> {
    let text = || std::str::from_utf8(bytes).map_err(|error| error.to_string());
    match ending {
        "svg" => roxmltree::Document::parse(text()?)
            .map(drop)
            .map_err(|error| error.to_string()),
        "png" => png::Decoder::new(std::io::Cursor::new(bytes))
            .read_info()
            .and_then(|mut reader| {
                let mut dots = vec![0; reader.output_buffer_size().unwrap_or(0)];
                reader.next_frame(&mut dots)?;
                reader.finish()
            })
            .map_err(|error| error.to_string()),
        "pdf" => lopdf::Document::load_mem(bytes)
            .map_err(|error| error.to_string())
            .and_then(|document| match document.get_pages().len() {
                0 => Err("no page".to_owned()),
                _ => Ok(()),
            }),
        "dxf" => dxf::Drawing::load(&mut &*bytes)
            .map_err(|error| error.to_string())
            .and_then(|drawing| match drawing.blocks().count() {
                0 => Err("no block".to_owned()),
                _ => Ok(()),
            }),
        "json" => serde_json::from_slice::<serde_json::Value>(bytes)
            .map(drop)
            .map_err(|error| error.to_string()),
        "csv" => csv::ReaderBuilder::new()
            .from_reader(bytes)
            .records()
            .try_for_each(|row| row.map(drop))
            .map_err(|error| error.to_string()),
        "html" => {
            let page = scraper::Html::parse_document(text()?);
            match page.errors.as_slice() {
                [] if text()?.ends_with("</html>\n") || text()?.ends_with("</html>") => Ok(()),
                [] => Err("no end".to_owned()),
                errors => Err(format!("{errors:?}")),
            }
        }
        "txt" | "md" => match text()? {
            text if text.ends_with('\n') => Ok(()),
            _ => Err("no end".to_owned()),
        },
        other => Err(format!("nobody reads .{other}")),
    }
}
