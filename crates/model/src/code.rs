//! Enums whose variants are stored as fixed codes.

/// Declares an enum with one stored code a variant, its list, parsing, printing and serde by code.
#[macro_export]
macro_rules! coded_enum {
    (
        $(#[doc = $enum_doc:literal])+
        pub enum $name:ident {
            $( $(#[doc = $doc:literal])+ $variant:ident = $code:literal ),+ $(,)?
        }
    ) => {
        $(#[doc = $enum_doc])+
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Serialize, serde::Deserialize)]
        pub enum $name {
            $( $(#[doc = $doc])+ #[serde(rename = $code)] $variant ),+
        }

        impl $name {
            /// All variants, in the order in which they are printed.
            pub const ALL: &'static [Self] = &[ $( Self::$variant ),+ ];

            /// Code as stored.
            #[must_use]
            pub const fn code(self) -> &'static str {
                match self { $( Self::$variant => $code ),+ }
            }

            /// Meaning in words, for reference pages.
            #[must_use]
            pub const fn doc(self) -> &'static str {
                match self { $( Self::$variant => concat!($($doc),+) ),+ }
            }

            /// The variant stored as `code`, if there is one.
            #[must_use]
            pub fn from_code(code: &str) -> Option<Self> {
                Self::ALL.iter().copied().find(|variant| variant.code() == code)
            }
        }

        impl std::fmt::Display for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.pad(self.code())
            }
        }
    };
}
