"""What the program remembers between two starts: frozen, versioned, migrated, unknown fields kept."""
