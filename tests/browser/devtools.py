"""Chromium over its debugging pipe: the DevTools protocol through file descriptors 3 and 4, messages
ended by a NUL. Nothing may call home."""
import base64
import json
import os
import shutil
import subprocess


class Browser:
    def __init__(self, profile):
        path = next(filter(None, map(shutil.which, ("chromium", "chromium-browser", "google-chrome"))))
        to_read, self.out = os.pipe()
        self.into, to_write = os.pipe()

        def wire():
            # past the numbers that are needed, before they are taken
            read, write = os.dup(to_read), os.dup(to_write)
            os.dup2(read, 3)
            os.dup2(write, 4)

        self.process = subprocess.Popen(
            [path, "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
             "--disable-background-networking", "--disable-component-update", "--disable-sync",
             "--force-renderer-accessibility", "--remote-debugging-pipe", f"--user-data-dir={profile}"],
            preexec_fn=wire, close_fds=False, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        os.close(to_read)
        os.close(to_write)
        self.number, self.rest = 0, b""

    def receive(self):
        while b"\0" not in self.rest:
            some = os.read(self.into, 1 << 16)
            if not some:
                raise EOFError("the browser went away")
            self.rest += some
        message, self.rest = self.rest.split(b"\0", 1)
        return json.loads(message)

    def ask(self, method, session=None, **params):
        self.number += 1
        message = {"id": self.number, "method": method, "params": params}
        if session:
            message["sessionId"] = session
        os.write(self.out, json.dumps(message).encode() + b"\0")
        while True:
            answer = self.receive()
            if answer.get("id") == self.number:
                if "error" in answer:
                    raise RuntimeError(answer["error"])
                return answer["result"]

    def wait_for(self, method):
        while self.receive().get("method") != method:
            pass

    def open(self, path, width=1280, height=800, scale=1, mobile=False, media=()):
        """Shows a file on a screen of so many CSS pixels; returns the session. `media`: features
        and their values, as [("prefers-color-scheme", "dark")]."""
        target = self.ask("Target.createTarget", url="about:blank")["targetId"]
        session = self.ask("Target.attachToTarget", targetId=target, flatten=True)["sessionId"]
        self.ask("Page.enable", session)
        self.ask("Emulation.setDeviceMetricsOverride", session, width=width, height=height,
                 deviceScaleFactor=scale, mobile=mobile)
        self.ask("Emulation.setEmulatedMedia", session,
                 features=[{"name": name, "value": value} for name, value in media])
        self.ask("Page.navigate", session, url="file://" + path)
        self.wait_for("Page.loadEventFired")
        return session

    def evaluate(self, session, expression):
        """What the expression comes to in the page."""
        answer = self.ask("Runtime.evaluate", session, expression=expression, returnByValue=True)
        if "exceptionDetails" in answer:
            raise RuntimeError(answer["exceptionDetails"])
        return answer["result"].get("value")

    def violations(self, session):
        """What axe-core finds wrong for people who see, hear or move otherwise."""
        with open(os.environ.get("AXE", "build/npm/node_modules/axe-core/axe.js")) as file:
            self.evaluate(session, file.read() + "; 0")
        found = self.ask("Runtime.evaluate", session, returnByValue=True, awaitPromise=True,
                         expression="""axe.run().then(r => r.violations.map(v =>
            v.id + ': ' + v.nodes.slice(0, 3).map(n => n.target + ' ' + n.failureSummary).join('; ')))""")
        return found["result"]["value"]

    def picture(self, session, path):
        data = self.ask("Page.captureScreenshot", session, format="png")["data"]
        with open(path, "wb") as file:
            file.write(base64.b64decode(data))

    def print(self, session, path):
        """As PDF, on paper of the size that the page asks for."""
        data = self.ask("Page.printToPDF", session, preferCSSPageSize=True, printBackground=True)["data"]
        with open(path, "wb") as file:
            file.write(base64.b64decode(data))

    def accessibility_tree(self, session):
        """The nodes of the page that are not ignored, from the root down."""
        self.ask("Accessibility.enable", session)
        nodes = self.ask("Accessibility.getFullAXTree", session)["nodes"]
        known = {node["nodeId"]: node for node in nodes}
        ordered = []

        def walk(node):
            if not node["ignored"]:
                ordered.append({what: node.get(what, {}).get("value", "")
                                for what in ("role", "name", "description")} |
                               {each["name"]: each["value"].get("value")
                                for each in node.get("properties", [])})
            for child in node.get("childIds", []):
                if child in known:
                    walk(known[child])

        walk(next(node for node in nodes if not node.get("parentId")))
        return ordered

    def close(self):
        os.close(self.out)
        self.process.terminate()
        self.process.wait()
