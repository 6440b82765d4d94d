# One static binary with its papers, and nothing else: no shell, no package manager, not root. It writes no file, so that the root
# may be read-only.
#
#   docker build --build-arg REVISION="$(git rev-parse HEAD)" --build-arg CREATED="$(git log -1 --format=%cI)" -t jarwright .

# The image with the compiler; nothing else of it is shipped. It has no digest yet, because no registry could be reached from where
# this was written. .ci/container asks for it: where a registry answers, it tells the digest to put here, as golang:1.26@sha256:…
ARG BASE=docker.io/library/golang:1.26
FROM ${BASE} AS build
WORKDIR /src
COPY go.mod go.sum ./
RUN go mod download
COPY api ./api
COPY cmd ./cmd
COPY examples ./examples
COPY handlers ./handlers
COPY schemas ./schemas
COPY validate ./validate
# The commit, with +modified behind it where the files are not those of the commit. The history is no part of what is copied.
ARG REVISION=unknown
RUN CGO_ENABLED=0 go build -trimpath -ldflags "-s -w -X jarwright/api/release.revision=${REVISION}" -o /jarwright ./cmd/jarwright
RUN /jarwright licenses >/NOTICES.txt && /jarwright sbom >/sbom.cdx.json

FROM scratch
COPY --from=build /jarwright /NOTICES.txt /sbom.cdx.json /
# The next three are written by go run ./cmd/generate. The licenses are those of the parts that others made.
ARG VERSION=2.2.0
ARG RULESET=2026.2
ARG LICENSES="(MPL-2.0 OR Apache-2.0) AND 0BSD AND Apache-2.0 AND BSD-2-Clause AND BSD-3-Clause AND ISC AND MIT AND Unlicense"
ARG REVISION=unknown
# The date of the commit (RFC 3339), so that the same commit gives the same image.
ARG CREATED=
LABEL org.opencontainers.image.title="Jarwright" \
      org.opencontainers.image.description="Checks home pickling recipes against published, tested processes, over HTTP and on the command line" \
      org.opencontainers.image.version="${VERSION}" \
      org.opencontainers.image.revision="${REVISION}" \
      org.opencontainers.image.created="${CREATED}" \
      org.opencontainers.image.licenses="${LICENSES}" \
      jarwright.ruleset="${RULESET}"
USER 65532:65532
EXPOSE 8080
# Both serve and health read it. Every other setting has such a variable too.
ENV JARWRIGHT_ADDRESS=:8080
HEALTHCHECK --interval=10s --timeout=4s --start-period=5s CMD ["/jarwright", "health"]
ENTRYPOINT ["/jarwright"]
CMD ["serve"]
