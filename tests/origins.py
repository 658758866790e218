"""What a browser may say of the page that started a write, and whether it may then happen."""

ORIGINS = {  # what Origin says, {} for the host asked -> whether a write may happen, when it decides
    None: True,
    "": True,
    "http://{}": True,
    "https://{}": True,
    "null": False,
    "http://{}.evil.example": False,
    "http://evil.example": False,
    "http://evil.example/{}": False,
    "http://someone@{}": False,
    "http://{}1": False,
    "http://127.0.0.1:9999": False,
    "http://[::1": False,
    "{}": False,
    "file://": False,
}
