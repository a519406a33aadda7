use crate::common::{near, polygon};
use oaktag_geometry::allowance::{Corner, cut_outline};

#[test]
fn a_square_with_one_width_grows_by_it_all_round() {
    let square = polygon(&[(0.0, 0.0), (100.0, 0.0), (100.0, 100.0), (0.0, 100.0)]);
    let cut = cut_outline(&square, &[10.0; 4], &[Corner::Mitred; 4]).unwrap();
    near(cut.area, 120.0 * 120.0, 1e-9);
    println!("{cut:#?}");
    let cut = cut_outline(&square, &[10.0, 20.0, 0.0, 5.0], &[Corner::Mitred; 4]).unwrap();
    near(cut.area, 125.0 * 110.0, 1e-9);
}

#[test]
fn a_slot_narrower_than_its_allowances_closes() {
    let slot = polygon(&[
        (0.0, 0.0),
        (200.0, 0.0),
        (200.0, 200.0),
        (105.0, 200.0),
        (105.0, 50.0),
        (95.0, 50.0),
        (95.0, 200.0),
        (0.0, 200.0),
    ]);
    let cut = cut_outline(&slot, &[10.0; 8], &[Corner::Mitred; 8]).unwrap();
    near(cut.area, 220.0 * 220.0, 1e-6);
    assert!(cut.curved);
}
