"""A UDP relay between the daemon and an agent that spoils what passes.

The daemon is given the relay's address as the device. `spoil` decides what happens to an answer: it
is called with the answer's bytes and gives a list of (bytes, way) to send back; way "same" sends from the
address that was asked, "other" from another one. Seeded, bounded, one thread that ends with the relay.
"""
import random
import selectors
import socket
import threading


def passing(answer):
    return [(answer, "same")]


def silent(_answer):
    return []


def truncated(answer, generator=random.Random(1)):
    return [(answer[:generator.randrange(len(answer))], "same")]


def padded(answer):
    return [(answer + b"\0" * 64, "same")]


def oversized(_answer):
    return [(bytes([0x30, 0x84, 0x00, 0x01, 0x00, 0x00]) + b"\x04" * 60000, "same")]


def flipped(answer, generator=random.Random(2)):
    spoilt = bytearray(answer)
    for _ in range(3):
        spoilt[generator.randrange(len(spoilt))] ^= 1 << generator.randrange(8)
    return [(bytes(spoilt), "same")]


def noise(_answer, generator=random.Random(3)):
    return [(generator.randbytes(generator.randrange(1, 1400)), "same")]


def doubled(answer):
    return [(answer, "same"), (answer, "same")]


def from_elsewhere(answer):
    return [(answer, "other")]


class Relay:
    """Use as a context manager. `address`:`port` is what the daemon asks."""

    def __init__(self, agent, address, spoil=passing):
        self.agent, self.address, self.spoil = agent, address, spoil
        self.asked = 0  # requests seen
        self._front = socket.socket(socket.AF_INET, socket.SOCK_DGRAM)
        self._front.bind((address, 0))
        self.port = self._front.getsockname()[1]
        self._other = socket.socket(socket.AF_INET, socket.SOCK_DGRAM)
        self._other.bind((address, 0))
        self._back = {}  # the daemon's address -> a socket towards the agent
        self._selector = selectors.DefaultSelector()
        self._selector.register(self._front, selectors.EVENT_READ, None)
        self._ended = threading.Event()
        self._thread = threading.Thread(target=self._run, daemon=True)

    def __enter__(self):
        self._thread.start()
        return self

    def __exit__(self, *_):
        self._ended.set()
        self._thread.join(10)
        for sock in [self._front, self._other, *self._back.values()]:
            sock.close()

    def _run(self):
        while not self._ended.is_set():
            for key, _ in self._selector.select(0.05):
                if key.data is None:
                    self._request()
                else:
                    self._answer(key.fileobj, key.data)

    def _request(self):
        data, peer = self._front.recvfrom(65536)
        self.asked += 1
        if peer not in self._back:
            back = socket.socket(socket.AF_INET, socket.SOCK_DGRAM)
            back.connect(self.agent)
            self._back[peer] = back
            self._selector.register(back, selectors.EVENT_READ, peer)
        self._back[peer].send(data)

    def _answer(self, back, peer):
        try:
            data = back.recv(65536)
        except OSError:  # the agent is gone
            return
        for spoilt, way in self.spoil(data):
            (self._front if way == "same" else self._other).sendto(spoilt, peer)
