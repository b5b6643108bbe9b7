//! What the pocket sheet prints is what `thincut table measure` takes.

use thincut::field::Field;
use thincut::gear::{Gear, LoadedGear};
use thincut::measure::{Instruments, MeasuredTable, Quantity, ReadingsRequest, TableValue, values};
use thincut::pocket::PocketKind;
use thincut::sheets::pocket::{Asked, asked, pocket_sheet};
use thincut::units::UnitSystem;

use super::samples::{aloud, styles, styles_in};
use super::words::texts;

/// The values that follow from what is written down in the sheet's last column.
fn measured(preset: &str, written: [(PocketKind, &Asked); 2]) -> Vec<TableValue> {
    let mut request = ReadingsRequest::default();
    for (kind, asked) in written {
        let numbers = [
            (Quantity::Mouth(kind), Some(&asked.mouth)),
            (Quantity::Throat(kind), Some(&asked.throat)),
            (Quantity::ThroatDepth(kind), asked.throat_depth.as_ref()),
            (Quantity::Shelf(kind), Some(&asked.shelf)),
        ];
        for (quantity, text) in numbers {
            let slot = match quantity.field() {
                Field::CornerMouth => &mut request.corner_mouth,
                Field::CornerThroat => &mut request.corner_throat,
                Field::CornerThroatDepth => &mut request.corner_throat_depth,
                Field::CornerShelf => &mut request.corner_shelf,
                Field::SideMouth => &mut request.side_mouth,
                Field::SideThroat => &mut request.side_throat,
                Field::SideThroatDepth => &mut request.side_throat_depth,
                Field::SideShelf => &mut request.side_shelf,
                other => panic!("{other}"),
            };
            slot.extend(text.cloned());
        }
    }
    let base = LoadedGear::load(preset, &[]).unwrap();
    let readings = request.readings().unwrap();
    let instruments = request.instruments(Instruments::default()).unwrap();
    values(&MeasuredTable::new(base, &readings, &instruments).unwrap())
}

/// A pocket that fits the sheet is the preset's: its own numbers give its facings back.
#[test]
fn the_sheets_own_numbers_give_the_preset_back() {
    for name in Gear::preset_names() {
        let gear = Gear::preset(name).unwrap();
        // Fractions of plain inches are for a rule, not to be typed.
        let inches = styles_in(UnitSystem::Inches).filter(|s| !s.plain);
        for style in styles().chain(inches) {
            let kinds = [PocketKind::Corner, PocketKind::Side];
            let [corner, side] = kinds.map(|kind| asked(&gear, kind, &style));
            let found = measured(name, [(kinds[0], &corner), (kinds[1], &side)]);
            for kind in kinds {
                let key = format!("pocket.{kind}.facing_angle");
                let facing = found.iter().find(|v| v.key == key).expect("a facing");
                let own = facing.standard;
                assert!(
                    (facing.low..=facing.high).contains(&own),
                    "{name}: {facing:?}"
                );
                // Nothing but the rounding of what is printed: 0.1 mm, 0.01 in, plain 1 mm.
                let off = (facing.value - own).abs();
                let most = if style.plain { 1.5 } else { 0.4 };
                assert!(off < most, "{name} {kind} {style:?}: {off}° in {facing:?}");
                // A throat near the mouth would leave it open.
                assert!(facing.high - own < 6.0, "{name} {kind}: {facing:?}");
            }
        }
    }
}

/// The numbers stand on the page, with the option for a depth that is not the shelf's.
#[test]
fn the_sheet_prints_what_it_asks_for() {
    for style in styles().chain(styles_in(UnitSystem::Inches)) {
        let gear = super::samples::gear();
        let sheet = aloud(|| pocket_sheet(&gear, &style)).unwrap();
        let svgs = sheet.svgs().unwrap();
        for (kind, svg) in [PocketKind::Corner, PocketKind::Side].into_iter().zip(svgs) {
            let asked = asked(&gear, kind, &style);
            let words = texts(&svg).join(" ");
            for number in [&asked.mouth, &asked.throat, &asked.shelf] {
                assert!(
                    words.matches(number.as_str()).count() >= 2,
                    "{number}: {words}"
                );
            }
            assert_eq!(asked.throat_depth.is_some(), kind == PocketKind::Side);
            if !style.plain {
                let deep = asked.throat_depth.as_deref();
                let deep = format!("the throat at {}", deep.unwrap_or("the shelf's depth"));
                assert!(words.contains(&deep), "no {deep} in {words}");
            }
        }
    }
}
