"""What a teacher works out for a lesson: parts, hands, fingers, effort, landings, words."""
