//! A place in a plan: an RFC 6901 JSON Pointer.

use std::{fmt, sync::Arc};

/// A place in a plan, as an RFC 6901 JSON Pointer; the empty pointer is the plan itself. Copies share their text.
#[derive(
    Clone, Debug, Default, PartialEq, Eq, Hash, PartialOrd, Ord, serde::Serialize, serde::Deserialize,
)]
#[serde(from = "String", into = "String")]
pub struct Place(Arc<str>);

impl Place {
    /// The plan itself.
    pub fn root() -> Self {
        Self::default()
    }

    /// Reads a pointer as written, such as `/basins/pond/rim`.
    pub fn from_pointer(pointer: &str) -> Self {
        Self(pointer.into())
    }

    /// The member `key` of this place.
    #[must_use]
    pub fn child(&self, key: &str) -> Self {
        let mut text = String::with_capacity(self.0.len() + key.len() + 1);
        text.push_str(&self.0);
        text.push('/');
        for c in key.chars() {
            match c {
                '~' => text.push_str("~0"),
                '/' => text.push_str("~1"),
                c => text.push(c),
            }
        }
        Self(text.into())
    }

    /// A place further in, along a relative path such as `lining/underlay/mass`; an empty path is this place.
    #[must_use]
    pub fn join(&self, path: &str) -> Self {
        if path.is_empty() {
            self.clone()
        } else {
            Self(format!("{}/{path}", self.0).into())
        }
    }

    /// The place that holds this one; none for the plan itself.
    pub fn parent(&self) -> Option<Self> {
        self.0.rfind('/').map(|at| Self(self.0[..at].into()))
    }

    /// The keys along the way, unescaped.
    pub fn parts(&self) -> impl Iterator<Item = String> + '_ {
        self.0.split('/').skip(1).map(unescaped)
    }

    /// The last key on the way, unescaped: the id of a member of a collection; empty for the plan itself.
    pub fn key(&self) -> String {
        unescaped(self.0.rsplit('/').next().unwrap_or_default())
    }

    /// Whether `inner` is this place or lies within it.
    pub fn holds(&self, inner: &Self) -> bool {
        inner
            .0
            .strip_prefix(&*self.0)
            .is_some_and(|rest| rest.is_empty() || rest.starts_with('/'))
    }

    /// The pointer as text.
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

fn unescaped(part: &str) -> String {
    if part.contains('~') {
        part.replace("~1", "/").replace("~0", "~")
    } else {
        part.to_owned()
    }
}

impl From<String> for Place {
    fn from(pointer: String) -> Self {
        Self(pointer.into())
    }
}

impl From<Place> for String {
    fn from(place: Place) -> Self {
        place.as_str().to_owned()
    }
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(if self.0.is_empty() { "/" } else { &self.0 })
    }
}
