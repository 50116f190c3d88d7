"""Planning a workday: who does what on which tree when."""
