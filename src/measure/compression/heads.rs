//! Whether the low cylinders stand next to each other in one head: then the gasket between them is the first suspect.

use super::{Psi, cylinder_list, low_cylinders};
use crate::measure::{Measured, Worked};

/// The two low cylinders that stand next to each other in one head as listed; none of them when exactly two are not
/// low, or the two lie apart.
///
/// # Errors
/// Too little was read, or it is not known which cylinders share a head.
pub fn low_together(values: &[Option<Psi>], heads: Option<&[Vec<usize>]>) -> Measured<Option<[usize; 2]>> {
    super::compared(values)?;
    let low = low_cylinders(values);
    let [one, two] = low[..] else { return not_two(values, &low) };
    let heads = heads.ok_or("which cylinders share a head is not known")?;
    let pair = [one, two];
    let homeless: Vec<usize> = pair.into_iter().filter(|it| !heads.iter().any(|head| head.contains(it))).collect();
    if homeless.len() == 2 {
        return Err(format!("which head {} belong to is not known", cylinder_list(&homeless)));
    }
    let beside = |head: &Vec<usize>| head.windows(2).any(|next| next.contains(&one) && next.contains(&two));
    let list = cylinder_list(&pair);
    if !heads.iter().any(beside) {
        let shared = heads.iter().any(|head| head.contains(&one) && head.contains(&two));
        let how = if shared { "in one head, but not next to each other" } else { "under different heads" };
        return Ok(Worked::new(None, format!("{list} are low, {how}")));
    }
    // A third low one would make it another story.
    if let Some(place) = values.iter().position(Option::is_none) {
        return Err(format!("cylinder {} was not read", place + 1));
    }
    Ok(Worked::new(Some(pair), format!("{list} are low and stand next to each other in one head")))
}

fn not_two(values: &[Option<Psi>], low: &[usize]) -> Measured<Option<[usize; 2]>> {
    let unread = values.iter().position(Option::is_none).filter(|_| low.len() < 2);
    if let Some(place) = unread {
        return Err(format!("cylinder {} was not read", place + 1));
    }
    let how = match low {
        [] => "no cylinder is low".to_owned(),
        [only] => format!("only cylinder {only} is low"),
        more => format!("{} are low, more than two", cylinder_list(more)),
    };
    Ok(Worked::new(None, how))
}
