//! What an expression is worth: intervals, three answers, and the facts that were read on the way.

use super::numbers;
use crate::calc;
use crate::model::{Build, Builtin, By, FactId, Fitted, Ir, Model, Number, State, TableId, Trail, Type, Value, Valued};
use crate::quantity::{Interval, Truth};
use crate::syntax::tree::Comparator;
use smallvec::SmallVec;
use std::borrow::Cow;
use std::cell::OnceCell;
use std::ops::Not;
use std::sync::Arc;

/// How uncertain facts are read.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Reading<'v> {
    /// Take a person's guess for the truth.
    pub guesses: bool,
    /// Take this for one fact, instead of what is written.
    pub instead: Option<(FactId, &'v Value)>,
}

/// Expressions of one joint in one build.
pub(super) struct Eval<'m> {
    model: &'m Model,
    build: &'m Build,
    parameters: &'m [Valued],
    lets: &'m [(String, Ir)],
    made: Vec<OnceCell<Valued>>,
    reading: Reading<'m>,
    /// Whether computed values carry the facts that they came from.
    tracks: bool,
}

/// A value: one that stands somewhere, or one that was computed.
pub(super) type Lent<'v> = Cow<'v, Valued>;

/// A truth with the facts it rests on.
pub(super) type Answer = (Truth, Trail);

impl<'m> Eval<'m> {
    pub fn new(
        model: &'m Model,
        build: &'m Build,
        parameters: &'m [Valued],
        lets: &'m [(String, Ir)],
        reading: Reading<'m>,
    ) -> Self {
        Eval { model, build, parameters, lets, made: vec![OnceCell::new(); lets.len()], reading, tracks: true }
    }

    /// The same for one who asks for answers alone, not for the facts that they rest on.
    pub fn untracked(self) -> Self {
        Eval { tracks: false, ..self }
    }

    /// The value of an expression of the joint.
    pub fn value(&self, ir: &Ir) -> Valued {
        self.eval(ir, self.parameters).into_owned()
    }

    /// The value of an expression upon these values for its parameters.
    pub fn value_of(&self, ir: &Ir, arguments: &[Valued]) -> Valued {
        self.eval(ir, arguments).into_owned()
    }

    /// The answer of a condition of the joint.
    pub fn answer(&self, ir: &Ir) -> Answer {
        self.truth(ir, self.parameters)
    }

    /// A value as the reading wants it.
    fn read<'v>(&self, valued: Lent<'v>) -> Lent<'v> {
        if let Some((fact, value)) = self.reading.instead
            && valued.from.facts() == [fact]
        {
            return Cow::Owned(self.replaced(valued.into_owned(), value));
        }
        if let Value::Number(number) = &valued.value
            && self.reading.guesses
            && let Some(guess) = number.guess
        {
            let value = Value::Number(Number::exact(guess));
            return Cow::Owned(Valued { value, ..valued.into_owned() });
        }
        valued
    }

    /// A fact's own value with another in its place. A value of another sort only came from the fact, as a field does from
    /// a standard that is not known, and stays.
    fn replaced(&self, mut valued: Valued, value: &Value) -> Valued {
        if std::mem::discriminant(&valued.value) == std::mem::discriminant(value) || valued.value == Value::Absent {
            valued.value = value.clone();
        }
        valued
    }

    fn eval<'v>(&'v self, ir: &Ir, frame: &'v [Valued]) -> Lent<'v> {
        Cow::Owned(match ir {
            Ir::Number(range) => Valued::plain(Value::Number(Number::of(*range))),
            Ir::Text(text) => Valued::plain(Value::Text(Some(Arc::clone(text)))),
            Ir::Flag(flag) => Valued::plain(Value::Flag(Truth::of(*flag))),
            Ir::Parameter(number) => {
                let value = frame.get(*number).map_or(Cow::Owned(Valued::plain(Value::Absent)), Cow::Borrowed);
                // What a function is given has been read already, and may have been computed since.
                return if std::ptr::eq(frame, self.parameters) { self.read(value) } else { value };
            }
            Ir::Let(number) => return self.binding(*number),
            Ir::Slot(slot) => {
                let filled = self.build.slots.get(slot.0).copied().flatten();
                Valued::plain(filled.map_or(Value::Absent, |it| Value::Part(it.part)))
            }
            Ir::Whole(name) => {
                let value = self.build.facts.get(name);
                return self.read(value.map_or(Cow::Owned(Valued::plain(Value::Absent)), Cow::Borrowed));
            }
            Ir::Fact(base, name) => {
                let base = self.eval(base, frame);
                return self.read(fact(self.model, &base, name));
            }
            Ir::Field(base, name, _) => {
                let base = self.eval(base, frame);
                return self.read(self.field(base, name, ir));
            }
            Ir::If(three) => self.choice(three, frame),
            Ir::Sum(first, rest) => self.chain(first, rest, frame, Interval::plus, Interval::minus),
            Ir::Product(first, rest) => self.chain(first, rest, frame, Interval::times, Interval::over),
            Ir::Negate(inner) => {
                let inner = self.eval(inner, frame);
                let value = Value::Number(Number::of(numbers::range(&inner.value).negated()));
                Valued::computed(value, inner.into_owned().from)
            }
            Ir::Builtin(Builtin::Given, _)
            | Ir::Or(_)
            | Ir::And(_)
            | Ir::Not(_)
            | Ir::IsMember(..)
            | Ir::IsStandard(..)
            | Ir::IsKind(..)
            | Ir::Between(_)
            | Ir::Within(_)
            | Ir::Among(_)
            | Ir::Compare(..) => {
                let (truth, from) = self.truth(ir, frame);
                Valued::computed(Value::Flag(truth), from)
            }
            Ir::Builtin(builtin, arguments) => self.builtin(*builtin, arguments, frame),
            Ir::Function(id, arguments) => {
                let arguments: Vec<Valued> = arguments.iter().map(|it| self.eval(it, frame).into_owned()).collect();
                self.eval(&self.model[*id].body, &arguments).into_owned()
            }
            Ir::Calc(number, arguments) => {
                let arguments: Vec<Lent> = arguments.iter().map(|it| self.eval(it, frame)).collect();
                let ranges: Option<Vec<Vec<Interval>>> =
                    arguments.iter().map(|it| numbers::ranges(&it.value)).collect();
                let range = ranges.zip(calc::FUNCTIONS.get(*number)).map_or(Interval::ALL, |(it, own)| own.on(&it));
                Valued::computed(Value::Number(Number::of(range)), self.joined(&arguments))
            }
            Ir::Lookup(table, key, column) => self.lookup(*table, key, *column, frame),
            Ir::List(all) => {
                let all: Vec<Lent> = all.iter().map(|it| self.eval(it, frame)).collect();
                let from = self.joined(&all);
                let items: Arc<[Valued]> = all.into_iter().map(Cow::into_owned).collect();
                Valued::computed(Value::List(Some(items)), from)
            }
            Ir::Unknown => Valued::plain(Value::Flag(Truth::Open)),
        })
    }

    fn binding(&self, number: usize) -> Lent<'_> {
        // A `let` sees only those before it, so this ends.
        match self.lets.get(number).zip(self.made.get(number)) {
            Some(((_, ir), made)) => Cow::Borrowed(made.get_or_init(|| self.eval(ir, self.parameters).into_owned())),
            None => Cow::Owned(Valued::plain(Value::Absent)),
        }
    }

    fn field<'v>(&self, base: Lent<'v>, name: &str, ir: &Ir) -> Lent<'v> {
        let number = |fitted: &Fitted| {
            let ids = &self.model[fitted.standard].fields;
            ids.iter().position(|id| self.model[*id].name.text == name)
        };
        let found = match &base {
            Cow::Borrowed(Valued { value: Value::Standard(Some(fitted)), .. }) => {
                number(fitted).and_then(|number| fitted.fields.get(number)).map(Cow::Borrowed)
            }
            Cow::Owned(Valued { value: Value::Standard(Some(fitted)), .. }) => {
                number(fitted).and_then(|number| fitted.fields.get(number)).cloned().map(Cow::Owned)
            }
            _ => None,
        };
        found.unwrap_or_else(|| {
            let value = if base.value == Value::Standard(None) { self.any_of(ir) } else { Value::Absent };
            Cow::Owned(Valued::computed(value, base.into_owned().from))
        })
    }

    /// Any value that a field may have: which standard it is, is not known.
    fn any_of(&self, ir: &Ir) -> Value {
        let Ir::Field(_, name, _) = ir else { return Value::Absent };
        let declared = self.model.standards.iter().flat_map(|it| &it.fields).map(|id| &self.model[*id]);
        let kind = declared.filter(|it| it.name.text == *name).map(|it| &it.kind).next();
        match kind {
            Some(Type::Number(_) | Type::Count(_)) => Value::Number(Number::of(Interval::ALL)),
            Some(Type::Choice(_)) => Value::Member(None),
            Some(Type::Standard(_)) => Value::Standard(None),
            Some(Type::Text) => Value::Text(None),
            Some(Type::List(_)) => Value::List(None),
            Some(Type::Range(_)) => Value::Range(None),
            Some(Type::Money) => Value::Money(None),
            Some(Type::Flag | Type::Part(_) | Type::Any) | None => Value::Flag(Truth::Open),
        }
    }

    fn choice(&self, three: &[Ir; 3], frame: &[Valued]) -> Valued {
        let [condition, yes, no] = three;
        let (truth, mut from) = self.truth(condition, frame);
        let mut value = match truth {
            Truth::Yes => self.eval(yes, frame).into_owned(),
            Truth::No => self.eval(no, frame).into_owned(),
            Truth::Open => {
                let (yes, no) = (self.eval(yes, frame), self.eval(no, frame));
                self.join(&mut from, &yes.from);
                let value = numbers::either(&yes.value, &no.value);
                Valued::computed(value, no.into_owned().from)
            }
        };
        self.join(&mut from, &value.from);
        value.from = from;
        value
    }

    fn chain(
        &self,
        first: &Ir,
        rest: &[(bool, Ir)],
        frame: &[Valued],
        forward: fn(Interval, Interval) -> Interval,
        inverse: fn(Interval, Interval) -> Interval,
    ) -> Valued {
        let first = self.eval(first, frame);
        let mut range = numbers::range(&first.value);
        let mut from = Trail::default();
        self.join(&mut from, &first.from);
        for (inverted, term) in rest {
            let term = self.eval(term, frame);
            let next = numbers::range(&term.value);
            range = if *inverted { inverse(range, next) } else { forward(range, next) };
            self.join(&mut from, &term.from);
        }
        Valued::computed(Value::Number(Number::of(range)), from)
    }

    fn builtin(&self, builtin: Builtin, arguments: &[Ir], frame: &[Valued]) -> Valued {
        let values: SmallVec<[Lent; 3]> = arguments.iter().map(|it| self.eval(it, frame)).collect();
        let from = self.joined(&values);
        let Some(first) = values.first() else { return Valued::computed(Value::Absent, from) };
        if let (Builtin::First | Builtin::Last, Value::List(items)) = (builtin, &first.value) {
            let item =
                items.as_ref().and_then(|items| if builtin == Builtin::First { items.first() } else { items.last() });
            let value = item.map_or(Value::Number(Number::of(Interval::ALL)), |it| it.value.clone());
            return Valued::computed(value, from);
        }
        let value = numbers::builtin(builtin, values.iter().map(|it| &it.value));
        Valued::computed(Value::Number(Number::of(value)), from)
    }

    fn lookup(&self, table: TableId, key: &Ir, column: usize, frame: &[Valued]) -> Valued {
        let key = self.eval(key, frame);
        let table = &self.model[table];
        let numeric = matches!(table.columns.get(column), Some((_, kind)) if kind.dimension().is_some());
        let cell = |row: &Vec<Valued>| row.get(column).map_or(Value::Absent, |it| it.value.clone());
        let value = match (table.by, &key.value) {
            (By::Exact, value) => {
                let mut found: Option<Value> = None;
                for row in &table.rows {
                    let same = row.first().map_or(Truth::No, |it| numbers::same(&it.value, value));
                    if same == Truth::No {
                        continue;
                    }
                    let this = cell(row);
                    found = Some(found.map_or(this.clone(), |so_far| numbers::either(&so_far, &this)));
                }
                found.unwrap_or(Value::Absent)
            }
            (By::Floor, value) if numeric || numbers::range(value).is_exact() => {
                let range = numbers::range(value);
                let keys: Vec<f64> = table
                    .rows
                    .iter()
                    .map(|row| row.first().map_or(0.0, |it| numbers::range(&it.value).low()))
                    .collect();
                let below = |at: f64| {
                    keys.iter().rposition(|key| Interval::exact(*key).at_most(Interval::exact(at)) == Truth::Yes)
                };
                match (below(range.low()), below(range.high())) {
                    (Some(low), Some(high)) => {
                        let cells = table.rows.iter().skip(low).take(high - low + 1).map(cell);
                        cells.reduce(|so_far, next| numbers::either(&so_far, &next)).unwrap_or(Value::Absent)
                    }
                    (None, Some(_)) => Value::Number(Number::of(Interval::ALL)),
                    _ => Value::Absent,
                }
            }
            (By::Linear, value) if numeric => numbers::linear(table, column, numbers::range(value)),
            _ => Value::Number(Number::of(Interval::ALL)),
        };
        Valued::computed(value, key.into_owned().from)
    }

    fn truth(&self, ir: &Ir, frame: &[Valued]) -> Answer {
        match ir {
            Ir::Flag(flag) => (Truth::of(*flag), Trail::default()),
            Ir::And(all) => self.all(all.iter().map(|it| self.truth(it, frame)), Truth::No),
            Ir::Or(all) => self.all(all.iter().map(|it| self.truth(it, frame)), Truth::Yes),
            Ir::Not(inner) => {
                let (truth, from) = self.truth(inner, frame);
                (truth.not(), from)
            }
            Ir::IsMember(subject, members) => {
                let subject = self.eval(subject, frame);
                let truth = match subject.value {
                    Value::Member(Some(number)) => Truth::of(members.contains(&number)),
                    Value::Absent => Truth::No,
                    _ => Truth::Open,
                };
                (truth, subject.into_owned().from)
            }
            Ir::IsStandard(subject, standards) => {
                let subject = self.eval(subject, frame);
                let truth = match &subject.value {
                    Value::Standard(Some(fitted)) => Truth::of(standards.contains(&fitted.standard)),
                    Value::Absent => Truth::No,
                    _ => Truth::Open,
                };
                (truth, subject.into_owned().from)
            }
            Ir::IsKind(subject, kinds) => {
                let subject = self.eval(subject, frame);
                match subject.value {
                    Value::Part(id) if self.model[id].undecided => {
                        (Truth::Open, self.model[id].facts.first().map(|it| it.from.clone()).unwrap_or_default())
                    }
                    Value::Part(id) => (Truth::of(kinds.contains(&self.model[id].kind)), subject.into_owned().from),
                    _ => (Truth::No, subject.into_owned().from),
                }
            }
            Ir::Between(three) => {
                let [subject, low, high] = &**three;
                let values = [self.eval(subject, frame), self.eval(low, frame), self.eval(high, frame)];
                let [subject, low, high] = values.each_ref().map(|it| numbers::range(&it.value));
                let truth = numbers::both(low.at_most(subject), subject.at_most(high));
                (self.present(truth, &values), self.joined(&values))
            }
            Ir::Within(two) => {
                let [subject, range] = &**two;
                let values = [self.eval(subject, frame), self.eval(range, frame)];
                let truth = match (&values[0].value, &values[1].value) {
                    (subject, Value::Range(Some((low, high)))) => {
                        let subject = numbers::range(subject);
                        numbers::both(low.range.at_most(subject), subject.at_most(high.range))
                    }
                    _ => Truth::Open,
                };
                (self.present(truth, &values), self.joined(&values))
            }
            Ir::Among(two) => {
                let [subject, list] = &**two;
                let values = [self.eval(subject, frame), self.eval(list, frame)];
                let truth = match &values[1].value {
                    Value::List(Some(items)) => items
                        .iter()
                        .map(|it| numbers::same(&it.value, &values[0].value))
                        .fold(Truth::No, |so_far, next| numbers::both(so_far.not(), next.not()).not()),
                    _ => Truth::Open,
                };
                (self.present(truth, &values), self.joined(&values))
            }
            Ir::Compare(left, sign, right) => {
                let values = [self.eval(left, frame), self.eval(right, frame)];
                let truth = self.compare(&values[0].value, *sign, &values[1].value);
                (self.present(truth, &values), self.joined(&values))
            }
            Ir::Builtin(Builtin::Given, arguments) => match arguments.first() {
                Some(subject) => self.given(&self.eval(subject, frame)),
                None => (Truth::No, Trail::default()),
            },
            _ => {
                let value = self.eval(ir, frame);
                match value.value {
                    Value::Flag(truth) => (truth, value.into_owned().from),
                    _ => (Truth::Open, value.into_owned().from),
                }
            }
        }
    }

    fn join(&self, into: &mut Trail, from: &Trail) {
        if self.tracks {
            into.join(from);
        }
    }

    fn joined(&self, values: &[Lent]) -> Trail {
        let mut from = Trail::default();
        values.iter().for_each(|it| self.join(&mut from, &it.from));
        from
    }

    /// A comparison with something that is not there has no answer.
    fn present(&self, truth: Truth, values: &[Lent]) -> Truth {
        if values.iter().any(|it| it.value == Value::Absent) { Truth::Open } else { truth }
    }

    /// `and` (deciding answer: no) or `or` (deciding answer: yes) of several answers, with the facts of those that decide.
    fn all(&self, answers: impl Iterator<Item = Answer>, deciding: Truth) -> Answer {
        let (mut decided, mut open, mut agreed) = (None::<Trail>, None::<Trail>, Trail::default());
        for (truth, from) in answers {
            if truth == deciding {
                // The first that decides is enough: what follows may be meaningless without it.
                decided = Some(from);
                break;
            }
            if truth == Truth::Open {
                self.join(open.get_or_insert_with(Trail::default), &from);
            } else {
                self.join(&mut agreed, &from);
            }
        }
        match (decided, open) {
            (Some(from), _) => (deciding, from),
            (None, Some(from)) => (Truth::Open, from),
            (None, None) => (deciding.not(), agreed),
        }
    }

    fn compare(&self, left: &Value, sign: Comparator, right: &Value) -> Truth {
        if let (Value::Money(left), Value::Money(right)) = (left, right) {
            return numbers::compare_money(*left, sign, *right);
        }
        match sign {
            Comparator::Equal => numbers::same(left, right),
            Comparator::Unequal => numbers::same(left, right).not(),
            Comparator::Below => numbers::range(left).below(numbers::range(right)),
            Comparator::AtMost => numbers::range(left).at_most(numbers::range(right)),
            Comparator::Above => numbers::range(right).below(numbers::range(left)),
            Comparator::AtLeast => numbers::range(right).at_most(numbers::range(left)),
        }
    }

    fn given(&self, subject: &Valued) -> Answer {
        if subject.value == Value::Absent {
            return (Truth::No, subject.from.clone());
        }
        let open = match subject.from.facts() {
            // What is asked for by value is known for as long as that is tried.
            [only] if self.reading.instead.is_some_and(|(fact, _)| fact == *only) => false,
            [only] => self.model.facts.get(*only).is_some_and(|it| matches!(it.state, State::Unknown | State::Missing)),
            _ => false,
        };
        // A fact that is merely not known may yet be there or not.
        (if open { Truth::Open } else { Truth::Yes }, subject.from.clone())
    }
}

/// A fact of a part; absent if its kind has none of that name.
pub(super) fn fact<'m>(model: &'m Model, base: &Valued, name: &str) -> Lent<'m> {
    let Value::Part(part) = base.value else { return Cow::Owned(Valued::computed(Value::Absent, base.from.clone())) };
    let part = &model[part];
    let number = model[part.kind].facts.get_index_of(name);
    match number.and_then(|number| part.facts.get(number)) {
        Some(value) => Cow::Borrowed(value),
        // Of a part not decided on, a fact that this kind lacks may be there on another.
        None if part.undecided => {
            let from = part.facts.first().map(|it| it.from.clone()).unwrap_or_default();
            Cow::Owned(Valued::computed(Value::Flag(Truth::Open), from))
        }
        None => Cow::Owned(Valued::plain(Value::Absent)),
    }
}
