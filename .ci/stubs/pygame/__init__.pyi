# What Phrasebench uses of pygame-ce 2.5, typed from its source.
