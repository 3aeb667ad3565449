//! Whether the low cylinders share a head: then the gasket between them is the first suspect.

use super::{Psi, cylinder_list, low_cylinders};
use crate::measure::{Measured, Worked};

/// Whether two or more low cylinders share a head. Two that do settle it; a no takes every cylinder
/// read and, when more than one is low, the head of each low one.
///
/// # Errors
/// Too little was read, or it is not known which cylinders share a head.
pub fn low_together(values: &[Option<Psi>], heads: Option<&[Vec<usize>]>) -> Measured<bool> {
    super::compared(values)?;
    let low = low_cylinders(values);
    let shared = heads.into_iter().flatten().find_map(|head| {
        let inside: Vec<usize> = low.iter().copied().filter(|it| head.contains(it)).collect();
        (inside.len() >= 2).then_some(inside)
    });
    if let Some(inside) = shared {
        let how = format!("{} are low and share a head", cylinder_list(&inside));
        return Ok(Worked::new(true, how));
    }
    if let Some(place) = values.iter().position(Option::is_none) {
        return Err(format!("cylinder {} was not read", place + 1));
    }
    if low.len() < 2 {
        let how = match low.as_slice() {
            [only] => format!("only cylinder {only} is low"),
            _ => "no cylinder is low".to_owned(),
        };
        return Ok(Worked::new(false, how));
    }
    let heads = heads.ok_or("which cylinders share a head is not known")?;
    let homeless: Vec<usize> =
        low.iter().copied().filter(|it| !heads.iter().any(|head| head.contains(it))).collect();
    // One low cylinder without a known head can't share one with those that have theirs named.
    if homeless.len() >= 2 {
        return Err(format!("which head {} belong to is not known", cylinder_list(&homeless)));
    }
    let how = format!("{} are low, under different heads", cylinder_list(&low));
    Ok(Worked::new(false, how))
}
