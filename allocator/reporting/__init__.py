"""What people read: tables for the bench, lists for programs, live progress, cautions."""
