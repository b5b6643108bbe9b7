//! Who plays at which table of a lesson, and who waits, in their order.

use std::collections::VecDeque;

/// The tables and the line of those who wait.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(super) struct Order {
    /// Who is at each table; nobody where there are more tables than students.
    pub(super) tables: Vec<Option<String>>,
    /// Who is next, first to last.
    pub(super) waiting: VecDeque<String>,
}

impl Order {
    /// The students who are there, at so many tables. Whoever was at a table stays at it, and the others keep
    /// their order; who comes new waits behind them, and whose table is gone waits before them.
    pub(super) fn seat(&mut self, students: &[String], tables: usize) {
        let here = |label: &String| students.contains(label);
        let mut tables_now: Vec<Option<String>> =
            self.tables.drain(..).map(|at| at.filter(here)).collect();
        let gone = tables_now.split_off(tables.min(tables_now.len()));
        tables_now.resize(tables, None);
        let was = gone.into_iter().flatten().chain(self.waiting.drain(..));
        let mut waiting: VecDeque<String> = was.filter(here).collect();
        for label in students {
            let known = waiting.contains(label) || tables_now.iter().flatten().any(|l| l == label);
            if !known {
                waiting.push_back(label.clone());
            }
        }
        for table in tables_now.iter_mut().filter(|t| t.is_none()) {
            *table = waiting.pop_front();
        }
        *self = Self {
            tables: tables_now,
            waiting,
        };
    }

    /// The next one comes to a table, counted from 1, and who was there waits behind all others; nothing
    /// where somebody else is there by now, who was asked for twice.
    pub(super) fn next(&mut self, table: usize, from: Option<&str>) {
        let Some(at) = table.checked_sub(1).and_then(|k| self.tables.get_mut(k)) else {
            return;
        };
        if at.as_deref() != from {
            return;
        }
        if let Some(next) = self.waiting.pop_front() {
            self.waiting.extend(at.replace(next));
        }
    }
}
