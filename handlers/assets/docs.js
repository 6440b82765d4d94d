// Shows the served contract. Everything comes from this server.
"use strict";
SwaggerUIBundle({
  url: "openapi.json",
  dom_id: "#reference",
  deepLinking: true,
  defaultModelsExpandDepth: 0,
  displayOperationId: true,
  docExpansion: "list",
  tryItOutEnabled: true,
  validatorUrl: null,
});
