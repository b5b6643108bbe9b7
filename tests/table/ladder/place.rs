//! Places in words and in diamonds.

use kurbo::Point;
use thincut::gear::{Bed, Gear};
use thincut::ladder::{in_diamonds, string_end};
use thincut::pocket::PocketName;
use thincut::speech::{Speech, place_words};
use thincut::units::Position;

fn bed() -> Bed {
    Gear::preset("pool-9ft").expect("a built-in table").bed
}

#[test]
fn plain_words_have_no_decimals_and_stay_true() {
    let said = |text: &str| {
        place_words(
            text.parse().expect("a place"),
            &bed(),
            Speech::default().plainly(),
        )
    };
    assert_eq!(
        said("2.8,1.5"),
        "a little over 2¾ diamonds down from the head rail, 1½ off the right side rail"
    );
    assert_eq!(
        said("5.06,3.1"),
        "nearly 3 diamonds up from the foot rail, nearly 1 off the left side rail"
    );
    assert_eq!(
        said("7.95,0.9"),
        "less than ¼ diamond up from the foot rail, nearly 1 off the right side rail"
    );
    assert_eq!(
        said("893.3mm,1158.7mm"),
        "a little over 2¾ diamonds down from the head rail, a little over ¼ off the left side rail"
    );
    assert_eq!(
        said("4,2"),
        "level with the side pockets, on the long middle line"
    );
}

#[test]
fn lengths_become_diamonds() {
    let code = |text: &str| in_diamonds(text.parse().expect("a place"), &bed());
    assert_eq!(code("893.3mm,1158.7mm"), "2.81,3.65");
    assert_eq!(code("6,2.25"), "6,2.25");
    assert_eq!(code("frozen-head,635mm"), "frozen-head,2");
    assert_eq!(code("foot-spot"), "foot-spot");
}

#[test]
fn a_string_ends_where_it_was_stretched_to() {
    let bed = bed();
    let at = |text: &str| {
        let place: Position = text.parse().expect("a place");
        bed.locate(place, 0.0).expect("on the table")
    };
    for (object, end) in [
        ("6,2.5", "0,1.25"),
        ("6,2.5", "1.75,4"),
        ("5,1", "0,0"),
        ("7,3", "8,1"),
    ] {
        let (from, to) = (at(object), at(end));
        let mark = from + (to - from) * 0.6;
        // As a file keeps it: to a tenth of a millimetre.
        let tenth = |x: f64| (1e4 * x).round() / 1e4;
        let mark = Point::new(tenth(mark.x), tenth(mark.y));
        let found = string_end(&bed, from, mark).expect("an end");
        assert_eq!(found.to_string(), end, "{object}");
    }
    assert_eq!(string_end(&bed, at("6,2"), at("6,2")), None);
}

#[test]
fn pockets_are_called_by_their_own_names() {
    for (k, name) in PocketName::ALL.into_iter().enumerate() {
        assert_eq!(name as usize, k);
        let said = Speech::default().pocket(name);
        // What is typed has the same words in another order.
        let mut typed: Vec<&str> = name.name().split('-').collect();
        typed.retain(|word| !said.contains(word));
        assert!(typed.is_empty(), "{said} for {}", name.name());
    }
}
