//! Numbers of things in the model.

use serde::{Deserialize, Serialize};

macro_rules! ids {
    ($($(#[$doc:meta])* $name:ident in $list:ident of $thing:ident;)*) => {
        $(
            $(#[$doc])*
            #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
            pub struct $name(pub usize);

            impl std::ops::Index<$name> for super::Model {
                type Output = super::$thing;

                // A number is only ever made by pushing to the list it points into.
                #[allow(clippy::indexing_slicing)]
                fn index(&self, id: $name) -> &super::$thing {
                    &self.$list[id.0]
                }
            }
        )*
    };
}

ids! {
    /// Number of a choice.
    ChoiceId in choices of Choice;
    /// Number of an interface.
    InterfaceId in interfaces of Interface;
    /// Number of a standard.
    StandardId in standards of Standard;
    /// Number of a declared fact, port or field.
    DeclaredId in declared of Declared;
    /// Number of a kind.
    KindId in kinds of Kind;
    /// Number of a table.
    TableId in tables of Table;
    /// Number of a function.
    FunctionId in functions of Function;
    /// Number of a joint.
    JointId in joints of Joint;
    /// Number of an assembly.
    AssemblyId in assemblies of Assembly;
    /// Number of a part.
    PartId in parts of Part;
    /// Number of a build.
    BuildId in builds of Build;
}

/// Number of a slot within its assembly.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub struct SlotId(pub usize);

/// Number of a fact that was written, left out or taken by default.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub struct FactId(pub u32);
