//! What a sentence of the page tells a hand to do.

use super::nouns::{FIGURE, Sheets, WAY, share};
use super::strokes::Stroke;
use super::{captures, way};
use kurbo::{Affine, Point, Vec2};
use regex::Regex;

/// "the neck, the hem and the side" as three.
fn row(words: &str) -> Vec<String> {
    words
        .replace(" and the ", ", the ")
        .split(", ")
        .map(str::to_owned)
        .collect()
}

fn bare(noun: &str) -> String {
    noun.strip_prefix("the ").unwrap_or(noun).to_owned()
}

fn mm(figure: &str) -> f64 {
    figure.parse::<f64>().unwrap() * 10.0
}

/// Traces a sheet off another, no more of it than the sentence names; whether it is such a sentence.
pub fn trace(sheets: &mut Sheets, said: &str) -> bool {
    if let Some(found) = captures(
        r"^Lay a fresh sheet over (the .+?)(?:, and trace off (.+))?: this is (the .+)\.$",
        said,
    ) {
        let mut panel: Vec<String> = found[1].split(" of ").map(bare).collect();
        panel.reverse();
        sheets.below = panel.join(" ");
        assert!(sheets.all.contains_key(&sheets.below), "{said}");
        let items = found.get(2).map_or("", |one| one.as_str());
        return taken_over(sheets, items);
    }
    if let Some(found) = captures(r"^Trace off the points too: (.+)\.$", said) {
        return taken_over(sheets, &found[1]);
    }
    if let Some(found) = captures(
        r"^Rule on the fresh sheet the guide lines as they lie below: (.+)\.$",
        said,
    ) {
        return taken_over(sheets, &found[1]);
    }
    false
}

fn taken_over(sheets: &mut Sheets, items: &str) -> bool {
    let below = sheets.all[&sheets.below].clone();
    for item in row(items).iter().filter(|item| !item.is_empty()) {
        let name = bare(item);
        if name == "starting point of the sheet" {
            continue;
        }
        match (below.points.get(&name), below.lines.get(&name)) {
            (Some(at), _) => drop(sheets.sheet().points.insert(name, *at)),
            (_, Some(line)) => drop(sheets.sheet().lines.insert(name, line.clone())),
            _ => panic!("{name} does not lie on {}", sheets.below),
        }
    }
    true
}

/// Does a sentence; the names of what it drew, where this hand can.
pub fn act(sheets: &mut Sheets, said: &str) -> Option<Vec<String>> {
    let said = &aside(sheets, said);
    marked(sheets, said)
        .or_else(|| lined(sheets, said))
        .or_else(|| traced(sheets, said))
        .or_else(|| settled(sheets, said))
        .or_else(|| figured(said))
}

/// A sentence without what it says of the ruler and of the ends of a line, which are kept.
fn aside(sheets: &mut Sheets, said: &str) -> String {
    let mut said = said.to_owned();
    sheets.ruler.clear();
    if let Some(found) = captures(r" By the ruler, (.+?)\.( |$)", &said) {
        let (ruler, whole) = (found[1].to_owned(), found[0].trim_end().to_owned());
        sheets.ruler = ruler;
        said = said.replacen(&whole, "", 1);
    }
    sheets.across = None;
    if let Some(found) = captures(
        r" It begins square across from (.+?) and ends square across from (.+?)\.( |$)",
        &said,
    ) {
        let (ends, whole) = (
            (found[1].to_owned(), found[2].to_owned()),
            found[0].trim_end().to_owned(),
        );
        sheets.across = Some(ends);
        said = said.replacen(&whole, "", 1);
    }
    said
}

/// Ways and decisions.
fn settled(sheets: &mut Sheets, said: &str) -> Option<Vec<String>> {
    if let Some(found) = captures(r"^Decide (the .+): (?:yes|no)\.$", said) {
        return Some(vec![bare(&found[1])]);
    }
    let found = captures(r"^Take (the .+): (the way .+)\.$", said)?;
    let way = sheets.tangent(&found[2], Vec2::ZERO)?;
    sheets.ways.insert(bare(&found[1]), way);
    Some(vec![bare(&found[1])])
}

fn set_point(sheets: &mut Sheets, name: &str, at: Point) -> Option<Vec<String>> {
    let name = bare(name);
    sheets.sheet().points.insert(name.clone(), at);
    Some(vec![name])
}

fn set_line(sheets: &mut Sheets, name: &str, line: Stroke) -> Option<Vec<String>> {
    let name = bare(name);
    sheets.sheet().lines.insert(name.clone(), line);
    Some(vec![name])
}

/// Points.
fn marked(sheets: &mut Sheets, said: &str) -> Option<Vec<String>> {
    if let Some(found) = captures(
        r"^Mark (the .+?), (\d+) of them, each from (the .+?): (.+)\.$",
        said,
    ) {
        let from = sheets.point(&found[3])?;
        let places: Vec<&str> = found[4].split("; ").collect();
        assert_eq!(places.len().to_string(), &found[2]);
        for (at, place) in places.iter().enumerate() {
            let point = sheets.measured(from, place)?;
            set_point(sheets, &format!("{} {}", &found[1], at + 1), point);
        }
        return Some(vec![bare(&found[1])]);
    }
    let found = captures(r"^Mark (?:anew )?(the .+?)(?:: | (at|where) )(.+)\.$", said)?;
    let (name, act) = (found[1].to_owned(), found[3].to_owned());
    match found.get(2).map(|word| word.as_str()) {
        Some("at") => {
            let at = sheets.point(&act)?;
            return set_point(sheets, &name, at);
        }
        Some(_) => {
            let at = sheets.point(&format!("where {act}"))?;
            return set_point(sheets, &name, at);
        }
        None => {}
    }
    if act.starts_with("it is the starting point of the sheet") {
        return set_point(sheets, &name, Point::ORIGIN);
    }
    if let Some((things, by)) = moved(sheets, &act) {
        let (names, things) = (row(&name), row(&things));
        let points: Option<Vec<Point>> = things.iter().map(|one| sheets.point(one)).collect();
        for (name, at) in names.iter().zip(points?) {
            set_point(sheets, name, by * at);
        }
        return Some(vec![bare(&names[0])]);
    }
    let at = place(sheets, &act)?;
    set_point(sheets, &name, at)
}

/// What is moved as a whole, and how.
fn moved(sheets: &Sheets, act: &str) -> Option<(String, Affine)> {
    if let Some(found) = captures(r"^(?i:mirror) (the .+) over (the .+)$", act) {
        return Some((found[1].to_owned(), sheets.mirror(&found[2])?));
    }
    if let Some(found) = captures(&format!(r"^(?i:slide) (the .+) by {FIGURE} (.+)$"), act) {
        let by = sheets.direction(Point::ORIGIN, &found[3])? * mm(&found[2]);
        return Some((found[1].to_owned(), Affine::translate(by)));
    }
    if let Some(found) = captures(r"^(?i:slide) (the .+?) from (the .+) to (the .+)$", act) {
        let by = sheets.point(&found[3])? - sheets.point(&found[2])?;
        return Some((found[1].to_owned(), Affine::translate(by)));
    }
    if let Some(found) = captures(
        r"^(?i:pivot) (the .+) about (the .+?) by ([\d.]+)° (clockwise|anticlockwise)",
        act,
    ) {
        let by = turn(sheets, &found[1], &found[2], &found[4])?;
        return Some((found[1].to_owned(), by));
    }
    if let Some(found) = captures(
        r"^(?i:pivot) (the .+) about (the .+?) by ([\d.]+)°(?: \([^)]*\))?, so that it goes (.+)$",
        act,
    ) {
        let about = sheets.point(&found[2])?;
        let line = || {
            sheets
                .line(&found[1])
                .map(|line| line.start().midpoint(line.end()))
        };
        let at = sheets.point(&found[1]).or_else(line)?;
        let goes = sheets.direction(at, &found[4])?;
        // On the paper, y up, a thing that goes left of its arm turns anticlockwise.
        let sense = if (at - about).cross(goes) > 0.0 {
            "anticlockwise"
        } else {
            "clockwise"
        };
        return Some((
            found[1].to_owned(),
            turn(sheets, &found[1], &found[2], sense)?,
        ));
    }
    None
}

/// A turn by what the ruler says of it: this hand has no protractor.
fn turn(sheets: &Sheets, things: &str, about: &str, sense: &str) -> Option<Affine> {
    let centre = sheets.point(about)?;
    let mouth = |arm: f64, far: f64| 2.0 * (far / 2.0 / arm).asin();
    let said = &sheets.ruler;
    let by = if let Some(found) = captures(
        r"^([\d.]+) cm from (the .+) the turn opens ([\d.]+) cm$",
        said,
    ) {
        mouth(mm(&found[1]), mm(&found[3]))
    } else if let Some(found) = captures(
        r"^the (start|end) of (the .+?) lies ([\d.]+) cm from that of (the .+?)(?:,| and|$)",
        said,
    ) {
        let line = sheets.line(&row(things)[0])?;
        let at = if &found[1] == "start" {
            line.start()
        } else {
            line.end()
        };
        mouth((at - centre).hypot(), mm(&found[3]))
    } else {
        // The farthest of them sets it best.
        let one =
            Regex::new(r"(the [^,]+?) lies ([\d.]+) cm from (the [^,]+?)(?:,| and|$)").unwrap();
        let all = one.captures_iter(said).filter_map(|found| {
            let old = sheets.point(&found[3])?;
            Some(((old - centre).hypot(), mm(&found[2])))
        });
        let (arm, far) = all.max_by(|a, b| a.0.total_cmp(&b.0))?;
        mouth(arm, far)
    };
    let sign = if sense == "clockwise" { -1.0 } else { 1.0 };
    Some(Affine::rotate_about(by * sign, centre))
}

fn place(sheets: &Sheets, act: &str) -> Option<Point> {
    if let Some(found) = captures(r"^from (the .+?), measure (.+)$", act) {
        return sheets.measured(sheets.point(&found[1])?, &found[2]);
    }
    if let Some(found) = captures(
        &format!(r"^from (the .+), go ({WAY}) until (?:level with )?(the .+)$"),
        act,
    ) {
        return sheets.until(sheets.point(&found[1])?, way(&found[2]), &found[3]);
    }
    if let Some(found) = captures(
        r"^on the straight way from (the .+?) to (the .+), go (\S+)(?: \(.+\))? of it$",
        act,
    ) {
        let (a, b) = (sheets.point(&found[1])?, sheets.point(&found[2])?);
        return Some(a.lerp(b, share(&found[3])?));
    }
    if let Some(found) = captures(
        &format!(r"^along (the .+?), from (.+), measure {FIGURE}$"),
        act,
    ) {
        let from = (&found[2] != "where it begins").then_some(&found[2]);
        return sheets.along(&found[1], from, mm(&found[3]));
    }
    if let Some(found) = captures(
        &format!(
            r"^set the ruler to {FIGURE}, hold its end on (the .+?) and swing it onto (the .+), near (the .+)$"
        ),
        act,
    ) {
        let far = mm(&found[1]);
        let (held, line, near) = (
            sheets.point(&found[2])?,
            sheets.line(&found[3])?,
            sheets.point(&found[4])?,
        );
        let foot = line.start() + line.along() * (held - line.start()).dot(line.along());
        let reach = (far * far - (held - foot).hypot2()).sqrt();
        let both = [foot + line.along() * reach, foot - line.along() * reach];
        return both
            .into_iter()
            .min_by(|p, q| (*p - near).hypot().total_cmp(&(*q - near).hypot()));
    }
    if let Some(found) = captures(
        r"^square from (the .+) onto (the .+), and mark its foot$",
        act,
    ) {
        let (at, line) = (sheets.point(&found[1])?, sheets.line(&found[2])?);
        return Some(line.start() + line.along() * (at - line.start()).dot(line.along()));
    }
    None
}

/// Lines that are drawn.
fn lined(sheets: &mut Sheets, said: &str) -> Option<Vec<String>> {
    if let Some(found) = captures(
        &format!(r"^At (the .+?), square out from (the .+?)(?: (?:{WAY}))?: this is (the .+)\.$"),
        said,
    ) {
        let at = sheets.point(&found[1])?;
        let across = sheets.line(&found[2])?.along().turn_90();
        return set_line(sheets, &found[3], Stroke::guide(at, across));
    }
    if let Some(found) = captures(
        &format!(
            r"^At (the .+?), square out from (the .+?) ({WAY}), {FIGURE} long: this is (the .+)\.$"
        ),
        said,
    ) {
        let noun = format!(
            "the square to {} at {} {}, {} cm long",
            &found[2], &found[1], &found[3], &found[4]
        );
        let line = sheets.line(&noun)?;
        return set_line(sheets, &found[5], line);
    }
    let found = captures(
        r"^(?:Draw|Redraw) (the .+?), a (straight|guide|smooth|hollow|parallel) (.+)\.$",
        said,
    )?;
    let (name, kind, rest) = (
        found[1].to_owned(),
        found[2].to_owned(),
        found[3].to_owned(),
    );
    let line = match kind.as_str() {
        "parallel" => parallel(sheets, &rest, said)?,
        "smooth" | "hollow" => curve(sheets, &rest)?,
        _ => straight(sheets, &rest)?,
    };
    set_line(sheets, &name, line)
}

fn straight(sheets: &Sheets, rest: &str) -> Option<Stroke> {
    if let Some(found) = captures(r"^line from (the .+) to (the (?:end|start|[^r]).*)$", rest)
        && let (Some(a), Some(b)) = (sheets.point(&found[1]), sheets.point(&found[2]))
    {
        return Some(Stroke::straight(a, b));
    }
    // The point may have ways in its own words: every split is tried.
    let words = rest.strip_prefix("line from ")?;
    let split = Regex::new(&format!(r" (?:{WAY}|toward |in the direction |[\d.]+°)")).unwrap();
    split.find_iter(words).find_map(|one| {
        let from = sheets.point(&words[..one.start()])?;
        onward(sheets, from, &words[one.start() + 1..])
    })
}

/// A straight line from a point, by its way and how far it goes.
fn onward(sheets: &Sheets, from: Point, said: &str) -> Option<Stroke> {
    if let Some(found) = captures(
        r"^(.+?) until (?:it meets |it is level with |level with )?(the .+)$",
        said,
    ) {
        let along = sheets.direction(from, &found[1])?;
        return Some(Stroke::straight(
            from,
            sheets.until(from, along, &found[2])?,
        ));
    }
    if let Some(found) = captures(&format!(r"^(.+), {FIGURE} long$"), said) {
        let along = sheets.direction(from, &found[1])?;
        return Some(Stroke::straight(from, from + along * mm(&found[2])));
    }
    Some(Stroke::guide(from, sheets.direction(from, said)?))
}

fn parallel(sheets: &Sheets, rest: &str, said: &str) -> Option<Stroke> {
    let found = captures(
        &format!(r"^to (the .+?) at {FIGURE} ((?:{WAY})|toward the [^.]+?)(?:\. .+)?$"),
        rest,
    )?;
    let line = sheets.line(&found[1])?;
    let by = mm(&found[2]);
    if line.is_straight() {
        let across = line.along().turn_90();
        let side = match sheets.point(found[3].strip_prefix("toward ").unwrap_or("")) {
            Some(point) => point - line.start(),
            None => way(&found[3]),
        };
        let by = across * by * across.dot(side).signum();
        return Some(line.moved(Affine::translate(by)));
    }
    // A curve beside a curve: its ends are square to those of the first, its places are told.
    let toward = sheets.point(found[3].strip_prefix("toward ").unwrap_or(""))?;
    let end = |at: Point| {
        let across = line.way_at(at).turn_90();
        at + across * by * across.dot(toward - at).signum()
    };
    if let Some((from, to)) = &sheets.across {
        for (noun, at) in [(from, line.start()), (to, line.end())] {
            let named = sheets.point(noun)?;
            assert!((named - at).hypot() < 1.0, "{noun} is no end of it: {said}");
        }
    }
    let places = places(sheets, (end(line.start()), end(line.end())), None)?;
    let (leaving, arriving) = (line.way_at(line.start()), line.way_at(line.end()));
    Some(Stroke::through(&places, Some(leaving), Some(arriving)))
}

/// A curve by its ends, its places and the ways it goes at its ends.
fn curve(sheets: &Sheets, rest: &str) -> Option<Stroke> {
    let head = rest.split(". ").next()?;
    let found = captures(
        r"^curve from (the .+?)(?: through the .+?)? to (the [^,]+?)(, .+)?$",
        head,
    )?;
    let (start, end) = (sheets.point(&found[1])?, sheets.point(&found[2])?);
    let ends = found.get(3).map_or("", |one| one.as_str());
    // As the page says before the first step, a hollow curve leaves toward its corner and arrives from it.
    if let Some(corner) = captures(
        "around (the [^,.]+|the point .+?)(?:, with|, passing|$)",
        ends,
    ) {
        let corner = sheets.point(&corner[1])?;
        let places = places(sheets, (start, end), None)?;
        return Some(Stroke::through(
            &places,
            Some(corner - start),
            Some(end - corner),
        ));
    }
    through(sheets, None, (start, end), ends)
}

fn through(
    sheets: &Sheets,
    from: Option<&str>,
    (start, end): (Point, Point),
    ends: &str,
) -> Option<Stroke> {
    let places = places(sheets, (start, end), from)?;
    let word = |word: &str| {
        let way = captures(&format!(r", {word} ([^,.]+)"), ends)?;
        // How long it is kept shows in the places.
        way[1].split(" for ").next().map(str::to_owned)
    };
    let leaving = word("leaving").and_then(|way| sheets.tangent(&way, places[1] - start));
    let last = places[places.len() - 2];
    let arriving = word("arriving").and_then(|way| sheets.tangent(&way, end - last));
    Some(Stroke::through(&places, leaving, arriving))
}

/// Places squared out from the ruler, by the tables of the act: all of them, or of a part those from where it begins.
fn places(sheets: &Sheets, (start, end): (Point, Point), from: Option<&str>) -> Option<Vec<Point>> {
    let mut tables = sheets.tables.iter();
    if let Some(from) = from {
        while tables
            .clone()
            .next()
            .is_some_and(|table| table.from != from)
        {
            tables.next();
        }
    }
    let mut points = vec![start];
    for table in tables {
        let begin = *points.last()?;
        let finish = match &table.away {
            Some(away) => sheets.measured(begin, away)?,
            None => end,
        };
        points.extend(table.between(begin, finish));
        points.push(finish);
        if table.away.is_none() {
            assert!(points.len() >= 3, "{table:?}");
            return Some(points);
        }
    }
    None
}

/// Lines that are taken from others.
fn traced(sheets: &mut Sheets, said: &str) -> Option<Vec<String>> {
    let found = captures(
        r"^(.+?): this is (?:now )?(the .+?)\.(?: (From .+))?$",
        said,
    )?;
    let (act, name) = (found[1].to_owned(), found[2].to_owned());
    let told = found.get(3).map_or("", |one| one.as_str()).to_owned();
    if let Some(found) = captures(r"^Take (the .+)$", &act) {
        let line = sheets.line(&found[1])?;
        return set_line(sheets, &name, line);
    }
    if let Some(found) = captures(r"^Join (the .+) into one line$", &act) {
        let lines: Option<Vec<Stroke>> =
            row(&found[1]).iter().map(|one| sheets.line(one)).collect();
        return set_line(sheets, &name, Stroke::joined(&lines?));
    }
    if let Some(found) = captures(r"^Join end to end (the .+)$", &act) {
        let lines: Option<Vec<Stroke>> = found[1]
            .split("; then ")
            .map(|one| sheets.line(one).or_else(|| unnamed(sheets, one, &told)))
            .collect();
        return set_line(sheets, &name, Stroke::joined(&lines?));
    }
    if let Some((things, by)) = moved(sheets, &act) {
        let lines: Option<Vec<Stroke>> = row(&things).iter().map(|one| sheets.line(one)).collect();
        let names = row(&name);
        for (name, line) in names.iter().zip(lines?) {
            set_line(sheets, name, line.moved(by));
        }
        return Some(vec![bare(&names[0])]);
    }
    if let Some(found) = captures(
        &format!(r"^Lengthen (the .+) at (the .+) by {FIGURE}$"),
        &act,
    ) {
        let (mut line, at) = (sheets.line(&found[1])?, sheets.point(&found[2])?);
        let far = mm(&found[3]);
        let last = line.points.len() - 1;
        if (line.end() - at).hypot() < (line.start() - at).hypot() {
            line.points
                .push(line.end() + line.way_at(line.points[last]) * far);
        } else {
            line.points
                .insert(0, line.start() - line.way_at(line.points[0]) * far);
        }
        return set_line(sheets, &name, line);
    }
    if let Some(found) = captures(
        r"^Lay (the .+) from (the .+) and (the .+) to (the .+) and (the .+)$",
        &act,
    ) {
        let at = |group: usize| sheets.point(&found[group]);
        let (a, b, c, d) = (at(2)?, at(3)?, at(4)?, at(5)?);
        let turn = (d - c).atan2() - (b - a).atan2();
        let by =
            Affine::translate(c.to_vec2()) * Affine::rotate(turn) * Affine::translate(-a.to_vec2());
        let lines: Option<Vec<Stroke>> =
            row(&found[1]).iter().map(|one| sheets.line(one)).collect();
        let names = row(&name);
        for (name, line) in names.iter().zip(lines?) {
            set_line(sheets, name, line.moved(by));
        }
        return Some(vec![bare(&names[0])]);
    }
    unfolded(sheets, &act, &name)
}

/// A curve without a name of its own, told after the sentence that joins it.
fn unnamed(sheets: &Sheets, noun: &str, told: &str) -> Option<Stroke> {
    let found = captures(
        r"^the smooth curve from (the .+?)(?: through the .+?)? to (the [^,]+?)(, .+)?$",
        noun,
    )?;
    let lead = format!("From {} to {} it measures", &found[1], &found[2]);
    told.find(&lead)?;
    let (start, end) = (sheets.point(&found[1])?, sheets.point(&found[2])?);
    through(
        sheets,
        Some(&found[1]),
        (start, end),
        found.get(3).map_or("", |one| one.as_str()),
    )
}

/// Fold after fold, traced through.
fn unfolded(sheets: &mut Sheets, act: &str, name: &str) -> Option<Vec<String>> {
    let acts: Vec<&str> = act.split(", then ").collect();
    let mut layers: Vec<Stroke> = Vec::new();
    let mut layer: Option<Stroke> = None;
    for act in acts {
        let found = captures(
            r"^(?i:fold) the paper on (the .+?) and trace (.+) through as far as (the .+)$",
            act,
        )?;
        let traced = match &found[2] {
            "that" => layer.take()?,
            things => {
                let lines: Option<Vec<Stroke>> =
                    row(things).iter().map(|one| sheets.line(one)).collect();
                Stroke::joined(&lines?)
            }
        };
        let fold = sheets.line(&found[1])?;
        let mirrored = traced.moved(sheets.mirror(&found[1])?);
        let next = sheets.line(&found[3])?;
        let (from, to) = (
            *mirrored.meetings(&fold).first()?,
            *mirrored.meetings(&next).first()?,
        );
        let strip = mirrored.part(from, to);
        layers.push(strip.clone());
        layer = Some(strip);
    }
    set_line(sheets, name, Stroke::joined(&layers))
}

/// Figures that are worked out or found by trying.
fn figured(said: &str) -> Option<Vec<String>> {
    let found = captures(r"^Work out (?:anew )?(the .+?): .+ = .+\.$", said)
        .or_else(|| {
            captures(
                r"^Find (the .+?) between .+ Here it is .+; with it, do the following\.",
                said,
            )
        })
        .or_else(|| captures(r"^(The .+) is [\d.]+(?: cm|°)?\.$", said))?;
    Some(vec![bare(&found[1].replacen("The ", "the ", 1))])
}
