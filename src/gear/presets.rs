//! The built-in tables.

/// One line a table: how it is called in code, its name (also its file's) and how people call it.
macro_rules! presets {
    ($($variant:ident $name:literal $spoken:literal)*) => {
        /// A built-in table.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
        #[non_exhaustive]
        #[expect(missing_docs, reason = "`Preset::spoken` says what each is")]
        pub enum Preset {
            $($variant),*
        }

        impl Preset {
            /// All of them, the usual one first.
            pub const ALL: &'static [Self] = &[$(Self::$variant),*];
            /// Their names.
            pub(super) const NAMES: &'static [&'static str] = &[$($name),*];

            /// As typed: `pool-9ft`.
            #[must_use]
            pub const fn name(self) -> &'static str {
                match self {
                    $(Self::$variant => $name),*
                }
            }

            /// As people say it: `9-foot pool table`.
            #[must_use]
            pub const fn spoken(self) -> &'static str {
                match self {
                    $(Self::$variant => $spoken),*
                }
            }

            /// Its file.
            pub(super) const fn text(self) -> &'static str {
                match self {
                    $(Self::$variant => include_str!(concat!("presets/", $name, ".toml"))),*
                }
            }
        }
    };
}

presets! {
    Pool9Ft "pool-9ft" "9-foot pool table"
    Pool8FtPro "pool-8ft-pro" "large 8-foot pool table"
    Pool8Ft "pool-8ft" "8-foot pool table"
    Pool7Ft "pool-7ft" "7-foot bar table"
    Snooker12Ft "snooker-12ft" "12-foot snooker table"
    SmallBall7Ft "smallball-7ft" "7-foot English pool table"
}

impl Preset {
    /// The one of that name.
    ///
    /// ```
    /// use thincut::Preset;
    ///
    /// let table = Preset::named("snooker-12ft").expect("a built-in table");
    /// assert_eq!(table.spoken(), "12-foot snooker table");
    /// ```
    #[must_use]
    pub fn named(name: &str) -> Option<Self> {
        Self::ALL.iter().copied().find(|p| p.name() == name)
    }
}
