"""Photos in an S3-compatible bucket. They come sealed; the bucket learns nothing but lengths."""

import os
from typing import Any

from botocore.config import Config

# Seconds. Whoever waits is a phone, which tries again later by itself.
PATIENCE = Config(connect_timeout=5, read_timeout=20, retries={"total_max_attempts": 2})


def bucket(name: str) -> dict[str, Any]:
    """Django's settings for a bucket. The credentials are the library's own business: it finds them
    in `AWS_ACCESS_KEY_ID` and `AWS_SECRET_ACCESS_KEY`, or in the role of the machine."""
    return {
        "BACKEND": "storages.backends.s3.S3Storage",
        "OPTIONS": {
            "bucket_name": name,
            "endpoint_url": os.environ.get("HEELWRIGHT_PHOTO_ENDPOINT") or None,
            "region_name": os.environ.get("HEELWRIGHT_PHOTO_REGION") or None,
            "client_config": PATIENCE,
            "default_acl": None,
            "querystring_auth": True,
            # Sealed bytes pack to nothing less, and nobody is to be led to a cache of them.
            "gzip": False,
            # A name is random and written once; asking first whether it is taken costs a request.
            "file_overwrite": True,
        },
    }
