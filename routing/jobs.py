"""Background work by Job rows."""
