"""Files and folders that appear whole or not at all, and never in place of what a user made."""
