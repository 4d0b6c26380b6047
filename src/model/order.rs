//! The order in which joints are made: what each is made upon and after, and that this is no circle.

use super::*;
use crate::mistake;
use crate::source::Span;
use crate::syntax::tree::{self, Name};
use petgraph::algo::{astar, tarjan_scc};
use petgraph::graph::{DiGraph, NodeIndex};

impl Builder {
    /// Resolves what the joins of an assembly say of their order. `written` are those that were made; `all` those too
    /// that have a mistake of their own, which a name may well mean.
    pub(super) fn order(&mut self, joins: &mut [Join], written: &[&tree::Join], all: &[&tree::Join]) {
        let numbers: IndexMap<String, usize> =
            joins.iter().enumerate().map(|(number, it)| (it.name.text.clone(), number)).collect();
        // From what is made first to what comes after it, with the name that says so.
        let mut graph: DiGraph<usize, Span> = DiGraph::new();
        let nodes: Vec<NodeIndex> = (0..joins.len()).map(|number| graph.add_node(number)).collect();
        for (number, (join, text)) in joins.iter_mut().zip(written).enumerate() {
            let mut named: Vec<&Name> = Vec::new();
            for (names, upon) in [(&text.upon, true), (&text.after, false)] {
                for name in names {
                    if let Some(first) = named.iter().find(|it| it.text == name.text) {
                        self.mistakes.push(mistake::fact_twice(name.span, &name.text, first.span));
                        continue;
                    }
                    named.push(name);
                    let Some(other) = numbers.get(&name.text).copied() else {
                        self.no_join(name, all);
                        continue;
                    };
                    if upon { &mut join.upon } else { &mut join.after }.push(other);
                    if let (Some(first), Some(then)) = (nodes.get(other), nodes.get(number)) {
                        graph.add_edge(*first, *then, name.span);
                    }
                }
            }
        }
        for circle in tarjan_scc(&graph) {
            let members: Vec<usize> = circle.iter().filter_map(|it| graph.node_weight(*it).copied()).collect();
            let Some(path) = circle_through(&graph, &circle) else { continue };
            let steps: Vec<(&str, Span)> = path
                .iter()
                .filter_map(|(number, span)| Some((joins.get(*number)?.name.text.as_str(), *span)))
                .collect();
            self.mistakes.push(mistake::join_loop(&steps));
            // What is left is an order again.
            for (_, join) in joins.iter_mut().enumerate().filter(|(number, _)| members.contains(number)) {
                join.upon.retain(|it| !members.contains(it));
                join.after.retain(|it| !members.contains(it));
            }
        }
    }

    fn no_join(&mut self, name: &Name, all: &[&tree::Join]) {
        if all.iter().any(|it| it.path.text == name.text) {
            // It has a mistake of its own; a second one would say nothing new.
            return;
        }
        let known = all.iter().map(|it| it.path.text.as_str());
        self.mistakes.push(mistake::name_unknown(name.span, "join", &name.text, known));
    }
}

/// The shortest circle through the first of some joins that depend on each other: each with the name by which it says
/// that it comes after the one before; none if they are a single one that does not depend on itself.
fn circle_through(graph: &DiGraph<usize, Span>, members: &[NodeIndex]) -> Option<Vec<(usize, Span)>> {
    let start = *members.iter().min()?;
    // The shortest way from a join that comes after the first back to it.
    let ways = graph.neighbors(start).filter(|it| members.contains(it));
    let ways = ways.filter_map(|next| astar(graph, next, |it| it == start, |_| 1u32, |_| 0));
    let (_, way) = ways.min_by_key(|(length, way)| (*length, way.clone()))?;
    let froms = std::iter::once(start).chain(way.iter().copied());
    let steps = froms.zip(&way).filter_map(|(from, to)| {
        let edge = graph.find_edge(from, *to)?;
        Some((*graph.node_weight(*to)?, *graph.edge_weight(edge)?))
    });
    Some(steps.collect())
}
