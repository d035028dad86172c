//! Links every plugin in; the only place that lists them.
