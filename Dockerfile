FROM node:24-trixie-slim AS pages
WORKDIR /app
COPY package.json package-lock.json ./
# The image brings Node 24 itself, so the packages that fetch a Node or a PostgreSQL needn't run their scripts.
RUN npm ci --ignore-scripts
COPY vite.config.ts tsconfig.json ./
COPY ingest ingest
COPY api api
COPY web web
RUN npx vite build

FROM node:24-trixie-slim AS packages
WORKDIR /app
COPY package.json package-lock.json ./
# Without the optional ones: among them is the PostgreSQL that is used only where DATABASE_URL is unset.
RUN npm ci --ignore-scripts --omit=dev --omit=optional && rm -rf node_modules/node

FROM node:24-trixie-slim
ENV NODE_ENV=production LEVELKEEP_HOST=0.0.0.0 LEVELKEEP_DATA=/data
WORKDIR /app
RUN mkdir /data && chown node:node /data
COPY --from=packages /app/node_modules node_modules
COPY package.json ./
COPY ingest ingest
COPY api api
COPY --from=pages /app/web/dist web/dist
USER node
VOLUME /data
EXPOSE 8620
HEALTHCHECK --interval=10s --timeout=3s --start-period=30s \
  CMD ["node", "-e", "fetch('http://127.0.0.1:8620/readyz').then(({ ok }) => process.exit(ok ? 0 : 1), () => process.exit(1))"]
CMD ["node", "api/main.ts"]
