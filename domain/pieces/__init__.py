"""The kinds of piece a job is built from: typed sizes and choices -> parts, joints, faces and steps."""
