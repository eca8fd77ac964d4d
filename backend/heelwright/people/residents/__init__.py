"""A facility's residents out of a file: read, compared with who is there, and taken in as one.

Reading writes nothing and is pure (`table`, `columns`, `dates`, `lines`, `report`, `comparing`);
`api` asks for it, and the command `import_residents` takes in what a person has looked at.
"""
