//! Sentences in which something is wrong to read. What they would have drawn is not drawn, and nothing older stands in its
//! place; whatever needs it is missing when the draft is drawn, and not wrong again.

use super::checker::{Checker, Typed};
use super::program::{LostSeam, Op};
use super::scope::{Binding, Bound, Layer, LayerKind, Sheet, size_of};
use crate::kind::Kind;
use crate::report::Span;
use crate::syntax::tree::{self, Block, KindWord, Sentence, SentenceKind};
use std::collections::BTreeSet;
use std::rc::Rc;
use std::sync::Arc;

impl<'a> Checker<'a> {
    /// Notes where reading found something wrong, and which measures it takes away.
    pub(super) fn note_wrong(&mut self) {
        let sources = &self.project.sources;
        let told = self.project.diagnostics.iter();
        let told = told.filter(|told| told.is_error()).map(|told| told.place);
        // A brace without its partner is mended by the margin.
        let is_brace = |place: &Span| matches!(sources.slice(*place), "{" | "}");
        self.wrong = told.filter(|place| !is_brace(place)).collect();
        self.wrong.sort_unstable();
        for file in &self.project.files {
            for sentence in &file.tree.sentences {
                self.use_lost |= match &sentence.kind {
                    SentenceKind::Broken(lost) => lost.word == "use",
                    SentenceKind::Use(word) => {
                        !self.project.modules.contains_key(word.text.as_ref())
                    }
                    _ => false,
                };
                let names: &[tree::Word] = match &sentence.kind {
                    SentenceKind::Broken(lost) if lost.word == "body" => &lost.names,
                    SentenceKind::Measure(measure) if self.is_wrong(sentence.span) => {
                        std::slice::from_ref(&measure.name)
                    }
                    _ => continue,
                };
                let names = names.iter().map(|word| Arc::clone(&word.text));
                self.lost_measures.extend(names);
            }
        }
    }

    /// Whether something in a place of the text is wrong to read.
    pub(super) fn is_wrong(&self, span: Span) -> bool {
        self.wrong_in(span).next().is_some()
    }

    fn wrong_in(&self, span: Span) -> impl Iterator<Item = &Span> {
        let before = |place: &Span| (place.file, place.start) < (span.file, span.start);
        let first = self.wrong.partition_point(before);
        let from = self.wrong.iter().skip(first);
        from.take_while(move |place| place.file == span.file && place.start <= span.end)
    }

    /// Whether something is wrong to read in a sentence itself, and not in a sentence of its block.
    pub(super) fn is_wrong_itself(&self, sentence: &Sentence) -> bool {
        let blocks: Vec<&Block> = match &sentence.kind {
            // Its words alone stand outside its block; the others look for themselves.
            SentenceKind::Step(_)
            | SentenceKind::Operation(_)
            | SentenceKind::Piece(_)
            | SentenceKind::Seam(_)
            | SentenceKind::Broken(_) => return false,
            SentenceKind::Panel(panel) => vec![&panel.body],
            SentenceKind::Try(trial) => vec![&trial.body],
            SentenceKind::Each(each) => vec![&each.body],
            SentenceKind::If(choice) => {
                let branches = choice.branches.iter().map(|(_, block)| block);
                branches.chain(&choice.otherwise).collect()
            }
            _ => Vec::new(),
        };
        let inside = |place: &Span| {
            let mut blocks = blocks.iter();
            blocks.any(|block| block.span.start < place.start && place.start < block.span.end)
        };
        self.wrong_in(sentence.span).any(|place| !inside(place))
    }

    /// After a sentence in which something is wrong to read: what it gave names to is not known.
    pub(super) fn lose_names(&mut self, sentence: &'a Sentence) {
        self.here.lost = true;
        match &sentence.kind {
            SentenceKind::Panel(panel) => self.bind_open(&panel.name, false),
            SentenceKind::Each(each) => self.lose_each(&[&each.body]),
            SentenceKind::Order(_) => self.program.order_lost = true,
            SentenceKind::Take(take) => self.lose_taken(self.take_said(take)),
            SentenceKind::ClothAt(_) => self.lose_cloth_at(),
            _ => {}
        }
    }

    /// A sentence that could not be read.
    pub(super) fn lose(&mut self, lost: &'a tree::Lost, span: Span) -> Vec<Op> {
        self.here.lost = true;
        let blocks: Vec<&'a Block> = lost.blocks.iter().collect();
        if lost.names.is_empty() || lost.is_torn {
            self.lose_unnamed(lost.word, span);
        }
        match lost.word {
            "panel" => return self.lose_panel(lost, span),
            "import" => {
                for word in &lost.names {
                    self.bind_open(word, true);
                }
            }
            "use" => self.here.file.heads_lost = true,
            "if" => self.lose_blocks(&blocks),
            "each" => self.lose_each(&blocks),
            "piece" => {
                for word in &lost.names {
                    self.lose_piece(&word.text, word.span);
                }
            }
            "pieces" | "seams" => {
                let said = self.said(span).split_whitespace().collect::<Vec<_>>();
                self.lose_taken(said.join(" "));
            }
            "seam" => {
                for word in &lost.names {
                    self.seam_names.insert(word.text.to_string(), word.span);
                }
                self.lose_seam(span);
            }
            "order" => self.program.order_lost = true,
            "cloth" if lost.names.is_empty() => self.lose_cloth_at(),
            "cloth" => {
                let names = lost.names.iter().map(|word| word.text.to_string());
                self.lost_cloths.extend(names);
            }
            "body" | "choose" => {
                for word in &lost.names {
                    if self.sees(&word.text).is_none() {
                        let binding = self.lost_binding(word, Kind::Unknown);
                        self.bind_measure(&word.text, binding);
                    }
                }
            }
            "carry" => {
                for word in &lost.names {
                    self.lose_carried(word);
                }
            }
            "" => {
                for word in &lost.names {
                    match self.sees(&word.text).map(|old| &old.bound) {
                        Some(Bound::Sheet(sheet)) => self.bind_open(word, sheet.is_file),
                        _ => self.lose_name(word, lost.kind),
                    }
                }
            }
            "edition" | "draft" | "unit" | "require" | "check" | "step" | "note" | "why"
            | "caution" | "slip" | "terms" | "operation" | "give" => {}
            _ => {
                for word in &lost.names {
                    self.lose_name(word, lost.kind);
                }
            }
        }
        Vec::new()
    }

    /// A sentence whose names cannot be read: it is told by its words, and what it may have drawn anew is not drawn.
    fn lose_unnamed(&mut self, word: &str, span: Span) {
        let said = self.said(span);
        let head = said.split('{').next().unwrap_or_default();
        let words: Vec<&str> = head.split_whitespace().collect();
        match word {
            "redraw" => {
                let layer = self.here.layers.last().map(|layer| Rc::clone(&layer.names));
                for (name, binding) in layer.iter().flat_map(|names| names.iter()) {
                    if let Bound::Value { kind, .. } = &binding.bound {
                        let text = Arc::clone(name);
                        let word = tree::Word { text, span };
                        let lost = self.lost_binding(&word, kind.clone());
                        if let Some(layer) = self.layer() {
                            layer.put(Arc::clone(name), lost);
                        }
                    }
                }
            }
            "panel" => {
                let names = head.split(|c: char| !(c.is_alphanumeric() || c == '_'));
                for name in names {
                    let bound = self.sees(name).map(|binding| &binding.bound);
                    if let Some(Bound::Sheet(sheet)) = bound {
                        let (text, is_file) = (Arc::from(name), sheet.is_file);
                        self.bind_open(&tree::Word { text, span }, is_file);
                    }
                }
            }
            "pieces" | "seams" | "cloth" | "if" | "edition" | "draft" | "unit" | "require"
            | "check" | "step" | "note" | "why" | "caution" | "slip" | "terms" | "give" => return,
            _ => {}
        }
        self.program.not_drawn.push(match words.as_slice() {
            [alone] => format!("{alone} …"),
            _ => words.join(" "),
        });
        if matches!(word, "piece" | "") {
            self.program.pieces_lost = true;
        }
        if matches!(word, "") {
            self.lose_seam(span);
        }
    }

    /// A name whose value is not drawn, in the place of an older one where there is one.
    pub(super) fn lose_name(&mut self, word: &tree::Word, kind: Option<KindWord>) {
        let own = |checker: &Self| {
            let layer = checker.here.layers.get(checker.sheet_at(word))?;
            match &layer.names.get(&word.text)?.bound {
                Bound::Value { kind, .. } => Some(kind.clone()),
                _ => None,
            }
        };
        let kind = own(self).unwrap_or_else(|| match kind {
            Some(KindWord::List) => Kind::List(Box::new(Kind::Unknown)),
            kind => kind.and_then(KindWord::kind).unwrap_or(Kind::Unknown),
        });
        let binding = self.lost_binding(word, kind);
        let at = self.sheet_at(word);
        if let Some(layer) = self.here.layers.get_mut(at) {
            layer.put(Arc::clone(&word.text), binding);
        }
    }

    fn lost_binding(&mut self, word: &tree::Word, kind: Kind) -> Binding {
        let slot = self.slot();
        let site = Some(self.plain_site(word.span));
        let binding = Binding::new(Bound::Value { slot, kind, site }, word.span);
        binding.used.set(true);
        binding
    }

    /// A panel, or a file, of which it is not known what is on it.
    fn bind_open(&mut self, word: &tree::Word, is_file: bool) {
        let sheet = Sheet {
            full_name: self.drawn_name(&word.text).to_string(),
            is_open: true,
            is_file,
            ..Sheet::default()
        };
        let binding = Binding::new(Bound::Sheet(Rc::new(sheet)), word.span);
        if let Some(layer) = self.layer() {
            layer.put(Arc::clone(&word.text), binding);
        }
    }

    fn lose_panel(&mut self, lost: &'a tree::Lost, span: Span) -> Vec<Op> {
        let [word] = lost.names.as_slice() else {
            for word in &lost.names {
                self.bind_open(word, false);
            }
            return Vec::new();
        };
        let told = self.diagnostics.len();
        if lost.blocks.is_empty() {
            let guessed = self.guessed_panel(span);
            self.diagnostics.truncate(told);
            match guessed {
                Some(typed) => {
                    drop(self.panel_value(std::slice::from_ref(word), typed, span));
                    self.diagnostics.truncate(told);
                }
                None => self.bind_open(word, false),
            }
            return Vec::new();
        }
        // What is drawn on the sheet itself may well be drawn; what it would have been laid over is not known.
        let prefix = format!("{}.", self.drawn_name(&word.text));
        let mut layer = Layer::new(LayerKind::Panel, &word.text, prefix);
        layer.is_open = true;
        self.here.layers.push(layer);
        let mut ops = Vec::new();
        for block in &lost.blocks {
            ops.extend(self.sentences(&block.sentences));
        }
        if let Some(layer) = self.here.layers.pop() {
            let sheet = Sheet {
                full_name: layer.full_name.to_string(),
                size: size_of(&layer.names),
                members: layer.names,
                cloth: layer.cloth,
                is_open: true,
                ..Sheet::default()
            };
            let binding = Binding::new(Bound::Sheet(Rc::new(sheet)), word.span);
            if let Some(layer) = self.layer() {
                layer.put(Arc::clone(&word.text), binding);
            }
        }
        ops
    }

    /// What an operation would have made of the panel in a sentence that is wrong: its head is known, and which panel it is
    /// given, and so are the names that it draws, of which none has a value.
    pub(super) fn guessed_panel(&mut self, span: Span) -> Option<Typed> {
        let (_, value) = self.said(span).split_once('=')?;
        let mut words = value.split(|c: char| !(c.is_alphanumeric() || c == '_' || c == '.'));
        let head = words.find(|word| !word.is_empty())?;
        let numbers = self.here.file.heads.get(head)?;
        let [number] = numbers.as_slice() else {
            return None;
        };
        let number = *number;
        let operation = self.operations.get(number)?;
        let (tree, form) = (operation.tree, Rc::clone(&operation.form));
        let mut sheets: Vec<(&str, Rc<Sheet>)> = Vec::new();
        for word in words {
            if let Some(Bound::Sheet(sheet)) = self.sees(word).map(|binding| &binding.bound)
                && !sheet.is_file
                && !sheets.iter().any(|(known, _)| *known == word)
            {
                sheets.push((word, Rc::clone(sheet)));
            }
        }
        let asked = self.asked(tree);
        let mut panels = asked.iter().filter(|one| one.kind == Kind::Panel);
        let arguments = match (panels.next(), panels.next(), sheets.as_slice()) {
            (None, _, _) => Vec::new(),
            (Some(one), None, [(name, sheet)]) if !one.is_option && !sheet.is_open => {
                vec![(one.link, vec![Typed::of_sheet(name, sheet, span)])]
            }
            _ => return None,
        };
        let typed = self.call_operation(number, &form, arguments, Vec::new(), span);
        (typed.kind == Kind::Panel && typed.shape.is_some()).then_some(typed)
    }

    fn lose_blocks(&mut self, blocks: &[&'a Block]) {
        let told = self.diagnostics.len();
        for block in blocks {
            let ops = self.sentences(&block.sentences);
            self.lose_ops(&ops);
        }
        self.diagnostics.truncate(told);
    }

    /// How often it would have gone round is not known, nor what its copies are called.
    fn lose_each(&mut self, blocks: &[&'a Block]) {
        let mut open: Vec<&'a Sentence> = blocks.iter().flat_map(|b| &b.sentences).collect();
        let mut names: BTreeSet<Arc<str>> = BTreeSet::new();
        while let Some(sentence) = open.pop() {
            match &sentence.kind {
                SentenceKind::Redraw(redraw) => {
                    for word in &redraw.names {
                        self.lose_name(word, None);
                    }
                }
                SentenceKind::Draw(draw) => {
                    names.extend(draw.names.iter().map(|word| Arc::clone(&word.text)));
                }
                SentenceKind::Panel(panel) => drop(names.insert(Arc::clone(&panel.name.text))),
                SentenceKind::Carry(carry) => drop(names.insert(Arc::clone(&carry.name.text))),
                SentenceKind::Piece(piece) => self.lose_piece(&piece.name.text, piece.name.span),
                SentenceKind::Seam(_) => self.lose_seam(sentence.span),
                SentenceKind::Step(step) => open.extend(&step.body.sentences),
                SentenceKind::If(choice) => {
                    let branches = choice.branches.iter().map(|(_, block)| block);
                    let blocks = branches.chain(&choice.otherwise);
                    open.extend(blocks.flat_map(|block| &block.sentences));
                }
                _ => {}
            }
        }
        let prefix = self.prefix();
        let names = names.iter().map(|name| format!("{prefix}{name}"));
        self.program.not_drawn.extend(names);
        if let Some(layer) = self.layer() {
            layer.is_open = true;
        }
    }

    /// Sentences that are not carried out: the pieces and seams among them are missing.
    pub(super) fn lose_ops(&mut self, ops: &[Op]) {
        for op in ops {
            match op {
                Op::Piece(number) => {
                    let piece = self.program.pieces.get(*number);
                    if let Some((name, span)) = piece.map(|p| (p.name.clone(), p.span)) {
                        self.lose_piece(&name, span);
                    }
                }
                Op::Seam(number) => {
                    let seam = self.program.seams.get(*number);
                    if let Some(span) = seam.map(|seam| seam.head) {
                        self.lose_seam(span);
                    }
                }
                Op::If(choice) => {
                    for (_, ops) in &choice.branches {
                        self.lose_ops(ops);
                    }
                    self.lose_ops(&choice.otherwise);
                }
                Op::Try(trial) => self.lose_ops(&trial.body),
                _ => {}
            }
        }
    }

    /// A piece that cannot be made.
    pub(super) fn lose_piece(&mut self, name: &str, span: Span) {
        self.piece_names.entry(name.to_owned()).or_insert(span);
        self.program.lost_pieces.push(name.to_owned());
    }

    /// A seam that cannot be walked: the names in it say which pieces wait for its width.
    pub(super) fn lose_seam(&mut self, span: Span) {
        let letters = self.said(span);
        let words = letters.split(|c: char| !(c.is_alphanumeric() || c == '_' || c == '.'));
        let words = words.filter(|word| !word.is_empty()).map(str::to_owned);
        self.program.lost_seams.push(LostSeam {
            words: words.collect(),
        });
    }

    /// Pieces and seams that are not taken, since the sentence that takes them is wrong, or what would offer them.
    pub(super) fn lose_taken(&mut self, said: String) {
        self.program.not_drawn.push(said);
        self.program.pieces_lost = true;
        self.program.lost_seams.push(LostSeam::default());
    }

    /// `pieces of house`
    pub(super) fn take_said(&self, take: &tree::Take) -> String {
        let what = match take.what {
            tree::Taken::Pieces => "pieces",
            tree::Taken::Seams => "seams",
        };
        format!("{what} of {}", self.said(take.of.span))
    }

    fn lose_cloth_at(&mut self) {
        let slot = self.slot();
        if let Some(layer) = self.layer() {
            layer.cloth = Some(super::program::Node::Slot(slot));
        }
    }
}
