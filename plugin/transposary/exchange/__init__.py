"""What leaves the glossary by command: notes for other programs, and entries for other glossaries."""
