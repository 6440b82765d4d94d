# One static binary and nothing else: no shell, no package manager, not root. It writes no file, so that the root may be read-only.
FROM golang:1.26 AS build
WORKDIR /src
COPY go.mod go.sum ./
RUN go mod download
COPY api ./api
COPY cmd ./cmd
COPY handlers ./handlers
COPY schemas ./schemas
COPY validate ./validate
RUN CGO_ENABLED=0 go build -trimpath -ldflags '-s -w' -o /jarwright ./cmd/jarwright

FROM scratch
COPY --from=build /jarwright /jarwright
USER 65532:65532
EXPOSE 8080
# Both serve and health read it. Every other setting has such a variable too.
ENV JARWRIGHT_ADDRESS=:8080
HEALTHCHECK --interval=10s --timeout=4s --start-period=5s CMD ["/jarwright", "health"]
ENTRYPOINT ["/jarwright"]
CMD ["serve"]
