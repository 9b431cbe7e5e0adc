"""Asks a print server what became of a job: lpstat tells that one has left the queue, not whether it was printed.

RFC 8010 (encoding) and RFC 8011 (Get-Job-Attributes, section 4.3.4; job-state, section 5.3.7).
"""

from http.client import HTTPConnection, HTTPException
from struct import pack, unpack_from

PENDING, HELD, PROCESSING, STOPPED, CANCELED, ABORTED, COMPLETED = range(3, 10)
_STATE = b"\x23\x00\x09job-state\x00\x04"  # an enum of four bytes


def _attribute(tag: int, name: str, value: str) -> bytes:
    coded_name, coded = name.encode(), value.encode()
    return pack(">BH", tag, len(coded_name)) + coded_name + pack(">H", len(coded)) + coded


def job_state(server: str, job: int, timeout_s: float) -> int:
    """The state of a job at a server (host:port). Raises OSError where there is no answer that can be understood."""
    request = pack(">BBHIB", 2, 0, 0x0009, 1, 0x01)
    request += _attribute(0x47, "attributes-charset", "utf-8")
    request += _attribute(0x48, "attributes-natural-language", "en")
    request += _attribute(0x45, "job-uri", f"ipp://{server}/jobs/{job}")
    request += _attribute(0x44, "requested-attributes", "job-state")
    link = HTTPConnection(server, timeout=timeout_s)
    try:
        link.request("POST", "/jobs/", request + b"\x03", {"Content-Type": "application/ipp"})
        answer = link.getresponse().read()
    except HTTPException as fault:
        raise OSError("not an answer of a print server") from fault
    finally:
        link.close()
    at = answer.find(_STATE)
    if at < 0 or len(answer) < at + len(_STATE) + 4:
        raise OSError("the print server does not know the job")
    return int(unpack_from(">I", answer, at + len(_STATE))[0])
