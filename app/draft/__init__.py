"""The Draft workspace: cutting, naming, wording a lesson."""
