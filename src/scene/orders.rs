//! Orders: the only way anything is operated, by a scene's script or by hand.

/// One thing the crew is told. Names are resolved to indices of the scene's lists.
#[derive(Clone, Debug, PartialEq)]
pub enum Order {
    /// Let air into the named bags, up to a share of the valve, until a condition.
    Raise {
        bags: Vec<usize>,
        opening: f64,
        until: Until,
        at_most_s: f64,
    },
    /// Let air out of them.
    Lower {
        bags: Vec<usize>,
        opening: f64,
        until: Until,
        at_most_s: f64,
    },
    /// Close the valves of the named bags.
    Stop {
        bags: Vec<usize>,
    },
    /// Close the shut-off at the bag: it keeps its air whatever the hose does.
    LockOut {
        bags: Vec<usize>,
    },
    /// Open the shut-off again.
    Unlock {
        bags: Vec<usize>,
    },
    /// Move an outlet's hose to another bag; of a Y, the leg that goes to `from`, or the first.
    MoveHose {
        outlet: usize,
        from: Option<usize>,
        to: usize,
    },
    /// Follow the load: add as many layers as fit and drive the wedges snug.
    Capture {
        captures: Vec<usize>,
    },
    /// Set chocks that lie ready.
    SetChocks {
        chocks: Vec<usize>,
    },
    Wait {
        until: Until,
        at_most_s: f64,
    },
}

/// When an order is done.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Until {
    /// At once: the order goes on while the next ones are given.
    Now,
    /// After this long, s.
    For(f64),
    /// Each named bag has reached this height, m; each stops by itself.
    Height(f64),
    /// The vehicle has risen this much over the lift points since the start, m.
    Rise(f64),
    /// The gap at a limb has reached this, m.
    Gap { limb: usize, m: f64 },
    /// Captures bear at least this share of what they and the bags bear, 0 to 1.
    OnTimber(f64),
}
