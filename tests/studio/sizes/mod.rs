//! Size sets: every size drawn, walked and held against the others; rules, ladders and constants; the nested drawing.

mod files;
mod layers;
mod nest;
mod paper;
use crate::reader;
mod shirt;
mod sides;
mod why;

use oaktag_language::draft::Inputs;
use oaktag_language::draft::bodies::Table;
use oaktag_language::syntax::project::{NoFiles, Project};
use oaktag_studio::sizes::set::{self, Set};
use std::num::NonZeroUsize;
use std::process::{Command, Output};

/// Draws a set of a draft that stands alone.
pub fn set_of(draft: &str, table: &str, base: usize) -> Set {
    let mut project = Project::load(
        "set.draft",
        draft,
        &NoFiles,
        &oaktag_language::library::module,
    );
    let checked = oaktag_language::check::check(&project);
    let file = project.sources.add("sizes.csv", table);
    let table = Table::read(&project.sources, file, &checked.program).unwrap();
    let threads = NonZeroUsize::new(2).unwrap();
    let (sizes, wrong) = set::draw(&project, &checked, &Inputs::default(), &table, threads);
    assert!(wrong.is_empty(), "{wrong:?}");
    assert!(
        sizes.iter().all(|size| !size.pattern.pieces.is_empty()),
        "{:?}",
        sizes[0].told
    );
    Set { sizes, base }
}

/// Runs the program in the project's folder.
pub fn oaktag(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_oaktag"))
        .args(arguments)
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .output()
        .unwrap()
}

pub fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

/// A rectangle whose corners move by known rules: width a quarter of the chest, length as given, a notch at a third.
pub const BOX: &str = "draft \"Box\"
unit cm
body chest = 88cm between 60cm and 140cm
body long = 40cm between 20cm and 60cm
choose depth = 3cm
length finished_chest = chest
panel back {
  point nape = origin
  point low = origin down long
  line centre = from nape to low
  line hem = from low toward right for chest / 4
  line side = from end of hem toward up for long
  line upper = from end of side to nape
}
panel front = mirror back over back.centre
piece back { outline centre, hem, side, upper
  cut 1 on fold at centre
  grain along centre
  allow 1cm
  finish hem, upper
}
piece front { outline centre, hem, side, upper
  cut 1 on fold at centre
  grain along centre
  allow 1cm
  finish hem, upper
}
seam side joins front.side to back.side from (end of front.hem), (end of back.hem) {
  notch single at long / 3 from (end of back.hem)
}
";
