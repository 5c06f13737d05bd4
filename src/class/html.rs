//! The printed pages of a class: the instructor's, and the sheet on which the room answers. The
//! caution stands at the head and the foot of each.

use super::model::{ClassQuestion, ClassStepKind};
use super::plan::ClassPlan;
use crate::caution::CAUTION;
use crate::statics::sheet::{columns, page};
use maud::{Markup, html};

impl ClassPlan<'_> {
    /// Both as one page of HTML that prints.
    pub fn html(&self) -> String {
        let name = &self.class.name;
        let body = html! {
            section {
                h1 { (name) ": for the instructor" }
                p { (self.class.about) }
                (self.step_table())
                @for why in self.misfits() { p.caution { "Mend this: " (why) "." } }
            }
            section {
                p.caution { (CAUTION) }
                // The room is not to read off the class's name what is asked.
                h1 { "Answer sheet" }
                // A number and no name: what somebody ticks is nobody's record.
                p { "Seat or number: " (BLANK) " Date: " (BLANK) }
                (self.answer_table())
            }
        };
        let data = self.class.scenes.iter().map(|shown| &shown.scene.data);
        let mut data: Vec<&String> = data.collect();
        data.dedup();
        page(name, &body, &html! { @for data in data { p { (data) } } })
    }

    fn step_table(&self) -> Markup {
        html! {
            table {
                (columns(&[6, 50, 44]))
                thead { tr { th {} th { "What is done" } th { "What comes of it" } } }
                (caution_row(3))
                tbody {
                    @for (at, step) in self.class.steps.iter().enumerate() {
                        tr {
                            td { (at + 1) }
                            td {
                                b { (self.done(at)) }
                                @if let ClassStepKind::Ask(question) = &step.kind {
                                    (choices(question))
                                }
                            }
                            td {
                                @for line in self.comes_of(at) { p { (line) } }
                                @if let Some(note) = &step.note { p { (note) } }
                            }
                        }
                    }
                }
            }
        }
    }

    fn answer_table(&self) -> Markup {
        let questions = self.class.steps.iter().filter_map(|step| match &step.kind {
            ClassStepKind::Ask(question) => Some(question),
            _ => None,
        });
        html! {
            table {
                (columns(&[6, 94]))
                (caution_row(2))
                tbody {
                    @for (i, question) in questions.enumerate() {
                        tr {
                            td { (i + 1) }
                            td {
                                b { (question.ask) }
                                (choices(question))
                                p { "Why: " (BLANK) (BLANK) }
                            }
                        }
                    }
                }
            }
        }
    }
}

/// Room to write in.
const BLANK: &str = "______________________________";

/// The choices, each with a box to tick and the number key that counts its hands.
fn choices(question: &ClassQuestion) -> Markup {
    html! {
        @for (i, answer) in question.answers.iter().enumerate() {
            p { "\u{2610} " (i + 1) "  " (answer.say) }
        }
    }
}

/// The foot of a table, which a printer repeats on each of its pages.
fn caution_row(columns: u32) -> Markup {
    html! { tfoot { tr { td colspan=(columns) { b { (CAUTION) } } } } }
}
