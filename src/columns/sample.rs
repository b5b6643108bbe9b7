//! A value of a type with everything in it that may be in it: what shows a struct's fields where
//! some are left out of a value.

use serde::de::value::{Error, U32Deserializer};
use serde::de::{
    Deserialize, DeserializeSeed, Deserializer, EnumAccess, Error as _, IntoDeserializer as _,
    MapAccess, SeqAccess, VariantAccess, Visitor,
};

/// The value.
pub(super) fn whole<'de, T: Deserialize<'de>>() -> Result<T, Error> {
    T::deserialize(Whole)
}

/// Has whatever is asked for: zero, the empty text, one of a list, the first of several.
struct Whole;

macro_rules! gives {
    ($($method:ident $visit:ident $value:expr;)*) => {
        $(fn $method<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
            visitor.$visit($value)
        })*
    };
}

impl<'de> Deserializer<'de> for Whole {
    type Error = Error;

    gives! {
        deserialize_bool visit_bool false;
        deserialize_i8 visit_i8 0;
        deserialize_i16 visit_i16 0;
        deserialize_i32 visit_i32 0;
        deserialize_i64 visit_i64 0;
        deserialize_u8 visit_u8 0;
        deserialize_u16 visit_u16 0;
        deserialize_u32 visit_u32 0;
        deserialize_u64 visit_u64 0;
        deserialize_f32 visit_f32 0.0;
        deserialize_f64 visit_f64 0.0;
        deserialize_char visit_char ' ';
        deserialize_str visit_str "";
        deserialize_string visit_str "";
        deserialize_option visit_some Whole;
        deserialize_seq visit_seq Several(1);
        deserialize_map visit_map Empty;
    }

    fn deserialize_any<V: Visitor<'de>>(self, _: V) -> Result<V::Value, Error> {
        Err(Error::custom("a type that takes anything has no columns"))
    }

    fn deserialize_newtype_struct<V: Visitor<'de>>(
        self,
        _: &'static str,
        visitor: V,
    ) -> Result<V::Value, Error> {
        visitor.visit_newtype_struct(self)
    }

    fn deserialize_tuple<V: Visitor<'de>>(self, len: usize, visitor: V) -> Result<V::Value, Error> {
        visitor.visit_seq(Several(len))
    }

    fn deserialize_tuple_struct<V: Visitor<'de>>(
        self,
        _: &'static str,
        len: usize,
        visitor: V,
    ) -> Result<V::Value, Error> {
        visitor.visit_seq(Several(len))
    }

    /// By order, so that names of earlier editions do not matter.
    fn deserialize_struct<V: Visitor<'de>>(
        self,
        _: &'static str,
        fields: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Error> {
        visitor.visit_seq(Several(fields.len()))
    }

    fn deserialize_enum<V: Visitor<'de>>(
        self,
        _: &'static str,
        _: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Error> {
        visitor.visit_enum(First)
    }

    serde::forward_to_deserialize_any! {
        i128 u128 bytes byte_buf unit unit_struct identifier ignored_any
    }
}

/// So many of them.
struct Several(usize);

impl<'de> SeqAccess<'de> for Several {
    type Error = Error;

    fn next_element_seed<S: DeserializeSeed<'de>>(
        &mut self,
        seed: S,
    ) -> Result<Option<S::Value>, Error> {
        let Some(left) = self.0.checked_sub(1) else {
            return Ok(None);
        };
        self.0 = left;
        seed.deserialize(Whole).map(Some)
    }
}

struct Empty;

impl<'de> MapAccess<'de> for Empty {
    type Error = Error;

    fn next_key_seed<S: DeserializeSeed<'de>>(&mut self, _: S) -> Result<Option<S::Value>, Error> {
        Ok(None)
    }

    fn next_value_seed<S: DeserializeSeed<'de>>(&mut self, seed: S) -> Result<S::Value, Error> {
        seed.deserialize(Whole)
    }
}

/// The first variant.
struct First;

impl<'de> EnumAccess<'de> for First {
    type Error = Error;
    type Variant = Self;

    fn variant_seed<S: DeserializeSeed<'de>>(self, seed: S) -> Result<(S::Value, Self), Error> {
        let first: U32Deserializer<Error> = 0_u32.into_deserializer();
        Ok((seed.deserialize(first)?, self))
    }
}

impl<'de> VariantAccess<'de> for First {
    type Error = Error;

    fn unit_variant(self) -> Result<(), Error> {
        Ok(())
    }

    fn newtype_variant_seed<S: DeserializeSeed<'de>>(self, seed: S) -> Result<S::Value, Error> {
        seed.deserialize(Whole)
    }

    fn tuple_variant<V: Visitor<'de>>(self, len: usize, visitor: V) -> Result<V::Value, Error> {
        visitor.visit_seq(Several(len))
    }

    fn struct_variant<V: Visitor<'de>>(
        self,
        fields: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Error> {
        visitor.visit_seq(Several(fields.len()))
    }
}
