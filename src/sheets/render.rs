//! Tables in text, Markdown and CSV.
