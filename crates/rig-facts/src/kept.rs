//! What is made once for each key, by whoever asks first.

use std::any::{Any, TypeId};
use std::fmt;
use std::sync::{Arc, Mutex, OnceLock, PoisonError};

/// Values by key. Who asks while one is made waits for it: what makes it must not hand work to other threads and wait for
/// them, and must not ask for the same key.
pub struct Kept<K, V>(Mutex<Vec<(K, Arc<OnceLock<V>>)>>);

impl<K, V> Default for Kept<K, V> {
    fn default() -> Self {
        Self(Mutex::default())
    }
}

impl<K, V> fmt::Debug for Kept<K, V> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("Kept")
    }
}

impl<K: PartialEq, V: Clone> Kept<K, V> {
    /// The value of that key, made where it is not there yet.
    pub fn get(&self, key: K, make: impl FnOnce() -> V) -> V {
        self.slot(key).get_or_init(make).clone()
    }

    /// The value of that key, kept no longer. None where it was not made.
    pub fn take<Q: ?Sized>(&self, key: &Q) -> Option<V>
    where
        K: PartialEq<Q>,
    {
        let mut all = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let at = all.iter().position(|(known, _)| known == key)?;
        all.swap_remove(at).1.get().cloned()
    }

    fn slot(&self, key: K) -> Arc<OnceLock<V>> {
        let mut all = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some((_, slot)) = all.iter().find(|(known, _)| *known == key) {
            return Arc::clone(slot);
        }
        let slot = Arc::default();
        all.push((key, Arc::clone(&slot)));
        slot
    }
}

/// The same for values of any type, by type and key.
#[derive(Debug, Default)]
pub struct KeptOfAny(Kept<(TypeId, String), Arc<dyn Any + Send + Sync>>);

impl KeptOfAny {
    /// The value of that type and key, made where it is not there yet.
    pub fn get<T: Any + Send + Sync>(&self, key: &str, make: impl FnOnce() -> T) -> Arc<T> {
        let kept = self.0.get((TypeId::of::<T>(), key.to_owned()), || Arc::new(make()) as Arc<dyn Any + Send + Sync>);
        kept.downcast().unwrap_or_else(|_| unreachable!("the type is part of the key"))
    }
}

#[cfg(test)]
mod tests {
    use super::{Kept, KeptOfAny};

    #[test]
    fn what_is_taken_is_made_again() {
        let kept = Kept::default();
        assert_eq!(kept.take(&"a"), None);
        assert_eq!((kept.get("a", || 1), kept.get("b", || 2)), (1, 2));
        assert_eq!((kept.take(&"a"), kept.take(&"a")), (Some(1), None));
        assert_eq!((kept.get("a", || 3), kept.get("b", || 4)), (3, 2));
    }

    #[test]
    fn each_key_of_each_type_is_made_once() {
        let kept = KeptOfAny::default();
        let mut made = 0;
        for _ in 0..2 {
            kept.get("a", || {
                made += 1;
                7_u32
            });
        }
        assert_eq!((made, *kept.get("a", || 8_u32), *kept.get("b", || 9_u32)), (1, 7, 9));
        assert_eq!(*kept.get("a", || 1.5_f64), 1.5);
    }

    /// Who asks meanwhile gets what the first one makes.
    #[test]
    fn two_threads_make_it_once() {
        let (kept, made) = (KeptOfAny::default(), std::sync::atomic::AtomicU32::new(0));
        std::thread::scope(|scope| {
            for _ in 0..4 {
                scope.spawn(|| {
                    kept.get("a", || {
                        std::thread::sleep(std::time::Duration::from_millis(5));
                        made.fetch_add(1, std::sync::atomic::Ordering::Relaxed) + 1
                    })
                });
            }
        });
        assert_eq!(*kept.get("a", || 9_u32), 1);
    }
}
