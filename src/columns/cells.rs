//! Walking through a value's fields.

use serde::ser::{
    Impossible, Serialize, SerializeSeq, SerializeStruct, SerializeTuple, Serializer,
};

use super::cell::Cell;

/// What the parts of a pair are called.
pub(super) const AXES: [&str; 2] = ["x", "y"];

/// Who is led through a value.
pub(super) trait Visitor {
    /// Whether a field is worth going into; what is gone into is left again.
    fn enters(&mut self, name: &'static str) -> bool;

    /// Out of the field gone into last.
    fn leaves(&mut self);

    /// A number or a text of the field gone into last.
    fn sees(&mut self, cell: Cell<'_>);
}

/// A walk through a value that shows a visitor each number and each text.
pub(super) struct Walk<V> {
    visitor: V,
    /// The words of the list that is being walked through.
    list: Option<Words>,
}

#[derive(Default)]
struct Words {
    joined: String,
    /// Whether something in it is no word.
    other: bool,
}

impl<V: Visitor> Walk<V> {
    /// Leads a visitor through a value, as far as it has columns.
    pub(super) fn through<T: Serialize>(value: &T, visitor: V) -> V {
        let mut walk = Self {
            visitor,
            list: None,
        };
        let _ = value.serialize(&mut walk);
        walk.visitor
    }

    fn cell(&mut self, cell: Cell<'_>) {
        match (&mut self.list, cell) {
            (None, cell) => self.visitor.sees(cell),
            (Some(words), Cell::Text(word)) => {
                if !words.joined.is_empty() {
                    words.joined.push(' ');
                }
                words.joined.push_str(word);
            }
            (Some(words), _) => words.other = true,
        }
    }

    fn within<T: Serialize + ?Sized>(
        &mut self,
        name: &'static str,
        value: &T,
    ) -> Result<(), Never> {
        if let Some(words) = &mut self.list {
            words.other = true;
            return Ok(());
        }
        if !self.visitor.enters(name) {
            return Ok(());
        }
        let walked = value.serialize(&mut *self);
        self.visitor.leaves();
        walked
    }
}

/// A kind of value that no struct of columns has.
#[derive(Debug, thiserror::Error)]
#[error("this is no column: {0}")]
pub(super) struct Never(String);

impl serde::ser::Error for Never {
    fn custom<T: std::fmt::Display>(what: T) -> Self {
        Self(what.to_string())
    }
}

macro_rules! numbers {
    ($($method:ident $kind:ty;)*) => {
        $(fn $method(self, value: $kind) -> Result<(), Never> {
            self.cell(Cell::Number(value.into()));
            Ok(())
        })*
    };
}

macro_rules! long_numbers {
    ($($method:ident $kind:ty;)*) => {
        $(#[expect(clippy::cast_precision_loss, reason = "counts are far below 2^53")]
        fn $method(self, value: $kind) -> Result<(), Never> {
            self.cell(Cell::Number(value as f64));
            Ok(())
        })*
    };
}

/// What has no columns.
fn never<T>(what: &str) -> Result<T, Never> {
    Err(Never(what.to_owned()))
}

impl<'w, V: Visitor> Serializer for &'w mut Walk<V> {
    type Ok = ();
    type Error = Never;
    type SerializeSeq = List<'w, V>;
    type SerializeTuple = Pair<'w, V>;
    type SerializeTupleStruct = Impossible<(), Never>;
    type SerializeTupleVariant = Impossible<(), Never>;
    type SerializeMap = Impossible<(), Never>;
    type SerializeStruct = Self;
    type SerializeStructVariant = Impossible<(), Never>;

    numbers! {
        serialize_i8 i8;
        serialize_i16 i16;
        serialize_i32 i32;
        serialize_u8 u8;
        serialize_u16 u16;
        serialize_u32 u32;
        serialize_f32 f32;
        serialize_f64 f64;
    }

    long_numbers! {
        serialize_i64 i64;
        serialize_u64 u64;
    }

    fn serialize_bool(self, value: bool) -> Result<(), Never> {
        self.cell(Cell::Text(if value { "true" } else { "false" }));
        Ok(())
    }

    fn serialize_char(self, value: char) -> Result<(), Never> {
        self.cell(Cell::Text(value.encode_utf8(&mut [0; 4])));
        Ok(())
    }

    fn serialize_str(self, value: &str) -> Result<(), Never> {
        self.cell(Cell::Text(value));
        Ok(())
    }

    fn serialize_none(self) -> Result<(), Never> {
        Ok(())
    }

    fn serialize_some<T: Serialize + ?Sized>(self, value: &T) -> Result<(), Never> {
        value.serialize(self)
    }

    fn serialize_unit_variant(
        self,
        _: &'static str,
        _: u32,
        variant: &'static str,
    ) -> Result<(), Never> {
        self.serialize_str(variant)
    }

    fn serialize_newtype_struct<T: Serialize + ?Sized>(
        self,
        _: &'static str,
        value: &T,
    ) -> Result<(), Never> {
        value.serialize(self)
    }

    fn serialize_seq(self, _: Option<usize>) -> Result<List<'w, V>, Never> {
        let above = self.list.replace(Words::default());
        Ok(List { walk: self, above })
    }

    fn serialize_tuple(self, _: usize) -> Result<Pair<'w, V>, Never> {
        Ok(Pair { walk: self, at: 0 })
    }

    fn serialize_struct(self, _: &'static str, _: usize) -> Result<Self, Never> {
        Ok(self)
    }

    fn serialize_unit(self) -> Result<(), Never> {
        Ok(())
    }

    fn serialize_unit_struct(self, _: &'static str) -> Result<(), Never> {
        Ok(())
    }

    fn serialize_bytes(self, _: &[u8]) -> Result<(), Never> {
        never("bytes")
    }

    fn serialize_newtype_variant<T: Serialize + ?Sized>(
        self,
        _: &'static str,
        _: u32,
        variant: &'static str,
        _: &T,
    ) -> Result<(), Never> {
        never(variant)
    }

    fn serialize_tuple_struct(
        self,
        name: &'static str,
        _: usize,
    ) -> Result<Self::SerializeTupleStruct, Never> {
        never(name)
    }

    fn serialize_tuple_variant(
        self,
        _: &'static str,
        _: u32,
        variant: &'static str,
        _: usize,
    ) -> Result<Self::SerializeTupleVariant, Never> {
        never(variant)
    }

    fn serialize_map(self, _: Option<usize>) -> Result<Self::SerializeMap, Never> {
        never("a map")
    }

    fn serialize_struct_variant(
        self,
        _: &'static str,
        _: u32,
        variant: &'static str,
        _: usize,
    ) -> Result<Self::SerializeStructVariant, Never> {
        never(variant)
    }
}

impl<V: Visitor> SerializeStruct for &mut Walk<V> {
    type Ok = ();
    type Error = Never;

    fn serialize_field<T: Serialize + ?Sized>(
        &mut self,
        name: &'static str,
        value: &T,
    ) -> Result<(), Never> {
        self.within(name, value)
    }

    fn end(self) -> Result<(), Never> {
        Ok(())
    }
}

/// A list: one cell if it is of words.
pub(super) struct List<'w, V> {
    walk: &'w mut Walk<V>,
    /// The list this one is in.
    above: Option<Words>,
}

impl<V: Visitor> SerializeSeq for List<'_, V> {
    type Ok = ();
    type Error = Never;

    fn serialize_element<T: Serialize + ?Sized>(&mut self, value: &T) -> Result<(), Never> {
        value.serialize(&mut *self.walk)
    }

    fn end(self) -> Result<(), Never> {
        let words = std::mem::replace(&mut self.walk.list, self.above);
        match (words, &mut self.walk.list) {
            (_, Some(above)) => above.other = true,
            (Some(words), None) if !words.other => self.walk.cell(Cell::Text(&words.joined)),
            _ => {}
        }
        Ok(())
    }
}

/// A pair: a cell each.
pub(super) struct Pair<'w, V> {
    walk: &'w mut Walk<V>,
    at: usize,
}

impl<V: Visitor> SerializeTuple for Pair<'_, V> {
    type Ok = ();
    type Error = Never;

    fn serialize_element<T: Serialize + ?Sized>(&mut self, value: &T) -> Result<(), Never> {
        let Some(axis) = AXES.get(self.at) else {
            return never("more than a pair");
        };
        self.at += 1;
        self.walk.within(axis, value)
    }

    fn end(self) -> Result<(), Never> {
        Ok(())
    }
}
