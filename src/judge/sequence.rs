//! In which order joints are made: what the joins of an assembly say of it, followed through those that a build does
//! not have; and steps arranged by what each needs.

use crate::model::Assembly;
use petgraph::algo::toposort;
use petgraph::algo::tred::{dag_to_toposorted_adjacency_list, dag_transitive_reduction_closure};
use petgraph::graph::{DiGraph, NodeIndex};
use petgraph::visit::{Dfs, IntoNeighbors};

/// Which joins of an assembly are made before which.
pub struct Sequence {
    /// For each join, those that come after it.
    later: Vec<Vec<bool>>,
    /// For each join, those that can't stay while it is made.
    upon: Vec<Vec<bool>>,
}

impl Sequence {
    /// What an assembly says, all of it followed to its ends.
    pub fn of(assembly: &Assembly) -> Sequence {
        let mut order: DiGraph<(), ()> = DiGraph::new();
        let nodes: Vec<NodeIndex> = assembly.joins.iter().map(|_| order.add_node(())).collect();
        let mut upon = order.clone();
        for (number, join) in assembly.joins.iter().enumerate() {
            for (firsts, stands) in [(&join.upon, true), (&join.after, false)] {
                for first in firsts {
                    let (Some(first), Some(then)) = (nodes.get(*first), nodes.get(number)) else { continue };
                    order.add_edge(*first, *then, ());
                    if stands {
                        upon.add_edge(*first, *then, ());
                    }
                }
            }
        }
        Sequence { later: reached(&order), upon: reached(&upon) }
    }

    /// Whether the first join is made before the second.
    pub fn is_before(&self, first: usize, then: usize) -> bool {
        cell(&self.later, first, then)
    }

    /// Whether the first join must be taken apart before the second can be made or taken apart.
    pub fn stands_upon(&self, upper: usize, lower: usize) -> bool {
        cell(&self.upon, lower, upper)
    }
}

fn cell(table: &[Vec<bool>], row: usize, column: usize) -> bool {
    table.get(row).and_then(|it| it.get(column)).copied().unwrap_or(false)
}

/// For each node, which others can be reached from it.
fn reached(graph: &DiGraph<(), ()>) -> Vec<Vec<bool>> {
    let of = |start: NodeIndex| {
        let mut found = vec![false; graph.node_count()];
        let mut walk = Dfs::new(graph, start);
        while let Some(node) = walk.next(graph) {
            if let Some(place) = found.get_mut(node.index()).filter(|_| node != start) {
                *place = true;
            }
        }
        found
    };
    graph.node_indices().map(of).collect()
}

/// Steps in an order in which each comes after all that it needs.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Arranged {
    /// Groups of steps none of which needs another of its group, in their order; within each as they were given.
    pub groups: Vec<Vec<usize>>,
    /// For each step, those right before it; what those need themselves is not repeated.
    pub needs: Vec<Vec<usize>>,
}

/// Arranges so many steps by pairs of one that comes first and one that needs it. Pairs that lead in a circle leave the
/// steps as they are given, each needing the one before: no order is better than that.
pub fn arranged(count: usize, pairs: &[(usize, usize)]) -> Arranged {
    let mut graph: DiGraph<(), ()> = DiGraph::new();
    let nodes: Vec<NodeIndex> = (0..count).map(|_| graph.add_node(())).collect();
    for (first, then) in pairs {
        if let (Some(first), Some(then)) = (nodes.get(*first), nodes.get(*then)) {
            graph.update_edge(*first, *then, ());
        }
    }
    let Ok(sorted) = toposort(&graph, None) else {
        return Arranged {
            groups: (0..count).map(|it| vec![it]).collect(),
            needs: (0..count).map(|it| it.checked_sub(1).into_iter().collect()).collect(),
        };
    };
    // As early as what it needs allows.
    let mut level = vec![0usize; count];
    for node in &sorted {
        let own = level.get(node.index()).copied().unwrap_or(0);
        for then in graph.neighbors(*node) {
            if let Some(place) = level.get_mut(then.index()) {
                *place = (*place).max(own + 1);
            }
        }
    }
    let mut groups: Vec<Vec<usize>> = vec![Vec::new(); level.iter().max().map_or(0, |it| it + 1)];
    for (step, level) in level.iter().enumerate() {
        groups.iter_mut().skip(*level).take(1).for_each(|group| group.push(step));
    }
    // Its nodes are the places of the sorted ones.
    let (listed, _) = dag_to_toposorted_adjacency_list::<_, usize>(&graph, &sorted);
    let (direct, _) = dag_transitive_reduction_closure(&listed);
    let mut needs: Vec<Vec<usize>> = vec![Vec::new(); count];
    for (place, first) in sorted.iter().enumerate() {
        for then in direct.neighbors(place).filter_map(|it| sorted.get(it)) {
            if let Some(list) = needs.get_mut(then.index()) {
                list.push(first.index());
            }
        }
    }
    needs.iter_mut().for_each(|it| it.sort_unstable());
    Arranged { groups, needs }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_come_after_what_they_need_and_name_only_what_is_right_before() {
        // 3 needs 2 and 0, 2 needs 0; 1 is free.
        let it = arranged(4, &[(2, 3), (0, 3), (0, 2)]);
        assert_eq!(it.groups, [vec![0, 1], vec![2], vec![3]]);
        assert_eq!(it.needs, [vec![], vec![], vec![0], vec![2]]);
        assert_eq!(arranged(0, &[]), Arranged::default());
    }

    #[test]
    fn a_circle_leaves_the_steps_as_they_are() {
        let it = arranged(2, &[(0, 1), (1, 0)]);
        assert_eq!((it.groups, it.needs), (vec![vec![0], vec![1]], vec![vec![], vec![0]]));
    }
}
