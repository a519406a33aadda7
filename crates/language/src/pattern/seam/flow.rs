//! Whether what sections hold can be shared out among the sentences that allow it: a flow with lower and upper bounds, from
//! sentences to the sections they touch.

/// A sentence as it is shared out.
pub(super) struct Share {
    pub(super) least: f64,
    pub(super) most: f64,
    /// Makes the first side the longer one.
    pub(super) lengthens_first: bool,
    /// The sections it touches.
    pub(super) sections: Vec<usize>,
}

/// What a section holds: how much longer the first side is, at the least and at the most, its tolerance in it.
pub(super) type Held = (f64, f64);

/// A flow so small is none, in millimetres.
const NOTHING: f64 = 1e-9;

struct Arc {
    to: usize,
    room: f64,
    back: usize,
}

struct Net {
    arcs: Vec<Vec<Arc>>,
    /// What must still flow into each node because of lower bounds.
    owed: Vec<f64>,
}

impl Net {
    fn new(nodes: usize) -> Self {
        let mut arcs = Vec::new();
        arcs.resize_with(nodes, Vec::new);
        Self {
            arcs,
            owed: vec![0.0; nodes],
        }
    }

    fn arc(&mut self, from: usize, to: usize, least: f64, most: f64) {
        self.plain(from, to, (most - least).max(0.0));
        if let Some(owed) = self.owed.get_mut(to) {
            *owed += least;
        }
        if let Some(owed) = self.owed.get_mut(from) {
            *owed -= least;
        }
    }

    fn plain(&mut self, from: usize, to: usize, room: f64) {
        let (here, there) = (
            self.arcs.get(from).map_or(0, Vec::len),
            self.arcs.get(to).map_or(0, Vec::len),
        );
        if let Some(arcs) = self.arcs.get_mut(from) {
            arcs.push(Arc {
                to,
                room,
                back: there,
            });
        }
        if let Some(arcs) = self.arcs.get_mut(to) {
            arcs.push(Arc {
                to: from,
                room: 0.0,
                back: here,
            });
        }
    }

    /// Sends as much as will go along one way from source to sink.
    fn push(&mut self, source: usize, sink: usize) -> f64 {
        let mut came: Vec<Option<(usize, usize)>> = vec![None; self.arcs.len()];
        let mut queue = vec![source];
        let mut next = 0;
        while let Some(&node) = queue.get(next) {
            next += 1;
            for (index, arc) in self.arcs.get(node).into_iter().flatten().enumerate() {
                let fresh = arc.to != source && came.get(arc.to).is_some_and(Option::is_none);
                if arc.room > NOTHING && fresh {
                    if let Some(from) = came.get_mut(arc.to) {
                        *from = Some((node, index));
                    }
                    queue.push(arc.to);
                }
            }
        }
        let mut way = Vec::new();
        let mut at = sink;
        while at != source {
            let Some(Some((node, index))) = came.get(at).copied() else {
                return 0.0;
            };
            way.push((node, index));
            at = node;
        }
        let room = |net: &Net, (node, index): &(usize, usize)| {
            net.arcs
                .get(*node)
                .and_then(|arcs| arcs.get(*index))
                .map_or(0.0, |arc| arc.room)
        };
        let most = way
            .iter()
            .map(|arc| room(self, arc))
            .fold(f64::INFINITY, f64::min);
        for (node, index) in way {
            let Some(arc) = self.arcs.get_mut(node).and_then(|arcs| arcs.get_mut(index)) else {
                continue;
            };
            arc.room -= most;
            let (to, back) = (arc.to, arc.back);
            if let Some(arc) = self.arcs.get_mut(to).and_then(|arcs| arcs.get_mut(back)) {
                arc.room += most;
            }
        }
        most
    }
}

/// Whether the sections' lengths can be what the sentences say.
pub(super) fn can_be_shared(held: &[Held], shares: &[Share]) -> bool {
    let (origin, end) = (0, 1);
    let section = |index: usize| 2 + index;
    let sentence = |index: usize| 2 + held.len() + index;
    let (source, sink) = (sentence(shares.len()), sentence(shares.len()) + 1);
    let mut net = Net::new(sink + 1);
    for (index, (least, most)) in held.iter().enumerate() {
        let at = section(index);
        net.arc(at, end, least.max(0.0), most.max(0.0));
        net.arc(origin, at, (-most).max(0.0), (-least).max(0.0));
    }
    for (index, share) in shares.iter().enumerate() {
        let at = sentence(index);
        if share.lengthens_first {
            net.arc(origin, at, share.least.max(0.0), share.most.max(0.0));
        } else {
            net.arc(at, end, share.least.max(0.0), share.most.max(0.0));
        }
        for touched in &share.sections {
            if share.lengthens_first {
                net.plain(at, section(*touched), f64::INFINITY);
            } else {
                net.plain(section(*touched), at, f64::INFINITY);
            }
        }
    }
    net.plain(end, origin, f64::INFINITY);
    let owed = net.owed.clone();
    let mut wanted = 0.0;
    for (node, owed) in owed.into_iter().enumerate() {
        if owed > 0.0 {
            net.plain(source, node, owed);
            wanted += owed;
        } else if owed < 0.0 {
            net.plain(node, sink, -owed);
        }
    }
    let mut sent = 0.0;
    loop {
        let pushed = net.push(source, sink);
        if pushed <= NOTHING {
            break;
        }
        sent += pushed;
    }
    wanted - sent <= 1e-6
}

#[cfg(test)]
mod tests {
    use super::*;

    fn share(least: f64, most: f64, first: bool, sections: &[usize]) -> Share {
        Share {
            least,
            most,
            lengthens_first: first,
            sections: sections.to_vec(),
        }
    }

    #[test]
    fn one_ease_lies_in_any_of_its_sections() {
        let held = [(-0.5, 0.5), (4.5, 5.5)];
        assert!(can_be_shared(&held, &[share(5.0, 5.0, true, &[0, 1])]));
        assert!(!can_be_shared(&held, &[share(5.0, 5.0, true, &[0])]));
        assert!(!can_be_shared(&held, &[share(7.0, 7.0, true, &[0, 1])]));
    }

    #[test]
    fn eases_on_both_sides_are_held_apart() {
        let held = [(2.9, 3.1), (-4.1, -3.9)];
        let both = [share(3.0, 3.0, true, &[0]), share(4.0, 4.0, false, &[1])];
        assert!(can_be_shared(&held, &both));
        let swapped = [share(3.0, 3.0, true, &[1]), share(4.0, 4.0, false, &[0])];
        assert!(!can_be_shared(&held, &swapped));
    }

    #[test]
    fn what_two_sections_far_apart_hold_is_counted_once() {
        // Five in all, and five wanted at either end, with five the other way between.
        let held = [(5.0, 5.0), (-5.0, -5.0), (5.0, 5.0)];
        let shares = [
            share(5.0, 5.0, true, &[0, 1, 2]),
            share(0.0, 5.0, false, &[1]),
        ];
        assert!(!can_be_shared(&held, &shares));
    }
}
