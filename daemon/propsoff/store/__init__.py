"""History: every report and its capture, kept in SQLite or PostgreSQL."""
