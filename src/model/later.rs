//! What few starts of the program need of its library: written down apart when the program is built, read when it is
//! asked for.

use serde::de::DeserializeOwned;
use serde::{Deserialize, Deserializer, Serialize, Serializer};
use std::cell::RefCell;
use std::fmt;
use std::ops::Deref;
use std::sync::OnceLock;

/// A value that may still lie in the store.
#[derive(Clone)]
pub struct Later<T> {
    made: OnceLock<Box<T>>,
    /// Where it begins in the store, if it lies there.
    at: u32,
}

/// The store that this process reads from.
static STORE: OnceLock<&'static [u8]> = OnceLock::new();

thread_local! {
    /// The store that is being written.
    static WRITTEN: RefCell<Vec<u8>> = const { RefCell::new(Vec::new()) };
}

/// Says where what was written apart is read from; the first word counts.
pub fn read_from(store: &'static [u8]) {
    STORE.get_or_init(|| store);
}

/// A value as bytes, and what of it was written apart: the store.
///
/// # Errors
/// When it can't be written.
pub fn written(value: &impl Serialize) -> postcard::Result<(Vec<u8>, Vec<u8>)> {
    WRITTEN.take();
    let bytes = postcard::to_stdvec(value)?;
    Ok((bytes, WRITTEN.take()))
}

impl<T> From<T> for Later<T> {
    fn from(value: T) -> Later<T> {
        Later { made: OnceLock::from(Box::new(value)), at: 0 }
    }
}

impl<T: Default> Default for Later<T> {
    fn default() -> Later<T> {
        Later::from(T::default())
    }
}

impl<T: DeserializeOwned + Default> Deref for Later<T> {
    type Target = T;

    fn deref(&self) -> &T {
        self.made.get_or_init(|| {
            let rest = STORE.get().and_then(|it| it.get(self.at as usize..)).unwrap_or_default();
            // The store was written by the same build; that it can't be read would be a fault of that, which a test looks for.
            Box::new(postcard::take_from_bytes(rest).map(|(value, _)| value).unwrap_or_default())
        })
    }
}

impl<T: DeserializeOwned + Default + fmt::Debug> fmt::Debug for Later<T> {
    fn fmt(&self, out: &mut fmt::Formatter) -> fmt::Result {
        (**self).fmt(out)
    }
}

impl<T: Serialize + DeserializeOwned + Default> Serialize for Later<T> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let bytes = postcard::to_stdvec(&**self).map_err(serde::ser::Error::custom)?;
        let at = WRITTEN.with_borrow_mut(|store| {
            let at = store.len();
            store.extend(bytes);
            at
        });
        u32::try_from(at).map_err(serde::ser::Error::custom)?.serialize(serializer)
    }
}

impl<'de, T> Deserialize<'de> for Later<T> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Later<T>, D::Error> {
        Ok(Later { made: OnceLock::new(), at: u32::deserialize(deserializer)? })
    }
}
