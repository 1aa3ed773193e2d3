//! What several checks of a trade work out alike, worked out once.

use std::any::{Any, TypeId};
use std::collections::BTreeMap;
use std::fmt;
use std::sync::{Arc, Mutex, PoisonError};

type Kept = BTreeMap<(TypeId, String), Arc<dyn Any + Send + Sync>>;

/// Values by type and key. Copies share them.
#[derive(Clone, Default)]
pub(crate) struct Shared(Arc<Mutex<Kept>>);

impl Shared {
    /// The value of that type and key, made where it is not there yet. Two threads may both make it; the first is kept.
    pub(crate) fn get<T: Any + Send + Sync>(&self, key: &str, make: impl FnOnce() -> T) -> Arc<T> {
        let at = (TypeId::of::<T>(), key.to_owned());
        let kept = || self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let known = kept().get(&at).cloned();
        if let Some(known) = known.and_then(|known| known.downcast().ok()) {
            return known;
        }
        let made = Arc::new(make());
        let first = Arc::clone(kept().entry(at).or_insert_with(|| Arc::clone(&made) as Arc<dyn Any + Send + Sync>));
        first.downcast().unwrap_or(made)
    }
}

impl fmt::Debug for Shared {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("Shared")
    }
}

#[cfg(test)]
mod tests {
    use super::Shared;

    #[test]
    fn each_key_of_each_type_is_made_once() {
        let shared = Shared::default();
        let mut made = 0;
        for _ in 0..2 {
            shared.get("a", || {
                made += 1;
                7_u32
            });
        }
        assert_eq!((made, *shared.get("a", || 8_u32), *shared.clone().get("b", || 9_u32)), (1, 7, 9));
        assert_eq!(*shared.get("a", || 1.5_f64), 1.5);
    }
}
