"""What wrong matings of plugs do, told from the solved circuit."""
